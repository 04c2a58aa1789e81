/** What is said of a picture that is screened already: nothing that did not happen, and no advice that was followed. */
import { describe, expect, test } from 'vitest';
import type { PictureKind } from '../../src/core/picture/kind.ts';
import { type ScreenKind, screens } from '../../src/core/screens/index.ts';
import { type ScreenedPicture, screenedCautions } from '../../src/report/cautions/screened.ts';

const PPI = 300;
/** A scan at 300 ppi with dots of 60 lpi. */
const halftone = {
  kind: 'screened',
  twoLevel: false,
  screen: { rulingPerPx: 0.2, angleDeg: 45 },
} as unknown as PictureKind;
const photograph = { kind: 'tone', twoLevel: false, screen: null } as unknown as PictureKind;

function told(seen: Partial<ScreenedPicture>) {
  const of = { picture: halftone, asked: 'off', descreenPerPx: null, passes: false, screen: 'cell' } as const;
  return screenedCautions({ ...of, ...seen }, PPI).map(({ code, severity, text, cure }) => ({
    ...{ code, severity },
    all: `${text}. ${cure}`,
  }));
}
const given = (lpi: number) => ({ asked: lpi, descreenPerPx: lpi / PPI });

describe('dots that stay', () => {
  test.each(['dot', 'line', 'bayer'] satisfies ScreenKind[])('%s has a grid, which may beat', (screen) => {
    const [one] = told({ screen });
    expect(one).toMatchObject({ code: 'screened-picture', severity: 'warn' });
    expect(one!.all).toMatch(/60 lpi at 45°.*beat.*--descreen auto.*cell or grain/);
  });

  const gridless = (Object.keys(screens) as ScreenKind[]).filter(
    (kind) => !['dot', 'line', 'bayer'].includes(kind),
  );
  test.each(gridless)('%s has none: it neither beats nor is told to be without', (screen) => {
    const [one] = told({ screen });
    expect(one).toMatchObject({ code: 'screened-picture', severity: 'warn' });
    expect(one!.all).toMatch(/60 lpi at 45°.*stay.*--descreen auto/);
    expect(one!.all).not.toMatch(/beat|without a grid/);
  });
});

describe('dots to be taken out', () => {
  test.each([56, 60, 65])('at the ruling found, or near it: %d lpi', (lpi) => {
    expect(told(given(lpi))).toMatchObject([{ code: 'descreened', severity: 'note' }]);
  });

  test('a finer ruling leaves the dots that were found', () => {
    const all = told(given(85));
    expect(all).toMatchObject([{ code: 'descreen-finer', severity: 'warn' }]);
    expect(all[0]!.all).toMatch(/60 lpi.*85 lpi.*--descreen auto/);
  });

  test('a coarser ruling takes more than the dots', () => {
    const all = told(given(30));
    expect(all).toMatchObject([{ code: 'descreen-coarser', severity: 'note' }]);
    expect(all[0]!.all).toMatch(/60 lpi.*30 lpi.*--descreen auto/);
  });

  test('where none were found, none are said to be gone', () => {
    const all = told({ ...given(150), picture: photograph });
    expect(all).toMatchObject([{ code: 'descreen-unseen', severity: 'note' }]);
    expect(all[0]!.all).not.toMatch(/were taken out/);
    const auto = told({ asked: 'auto', picture: photograph });
    expect(auto).toMatchObject([{ code: 'descreen-unseen', severity: 'note' }]);
    expect(auto[0]!.all).toMatch(/nothing was taken out/);
  });

  test('nobody asked, none there: nothing is said', () => {
    expect(told({ picture: photograph })).toEqual([]);
  });
});
