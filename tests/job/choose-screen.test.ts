import { expect, test } from 'vitest';
import type { PictureKind } from '../../src/core/picture/kind.ts';
import { type ProcessKind, processes } from '../../src/core/processes/index.ts';
import { screens } from '../../src/core/screens/index.ts';
import { chooseScreen } from '../../src/job/choose-screen.ts';

const picture = (kind: PictureKind['kind'], more: Partial<PictureKind> = {}): PictureKind => ({
  kind,
  midShare: 0,
  rampShare: 0,
  paperTone: 0,
  solidTone: 1,
  lightestTone: 0,
  darkestTone: 1,
  flatOfMid: 0,
  fewTones: 0,
  twoLevel: false,
  screen: null,
  specks: 0,
  ...more,
});
const halftone = picture('screened', {
  screen: { rulingPerPx: 0.2, angleDeg: 45, strength: 0.4, amplitude: 0.1 },
});
/** Nothing is known of what holds. */
const ANY = { minEtchedPx: 0, minKeptPx: 0 };
const WIDE = { ...ANY, spotPx: 2, keepsPixels: false };

test.each([
  ['relief', 'line-art', 'threshold'],
  ['relief', 'tint', 'dot'],
  ['relief', 'tone', 'dot'],
  ['relief', 'screened', 'grain'],
  ['relief', 'flat', 'dot'],
  ['relief', 'solid', 'threshold'],
  ['intaglio', 'line-art', 'cell'],
  ['intaglio', 'tint', 'cell'],
  ['intaglio', 'tone', 'cell'],
  ['intaglio', 'screened', 'cell'],
  ['intaglio', 'flat', 'cell'],
  ['intaglio', 'solid', 'cell'],
] as const)('%s of %s: %s', (process, kind, screen) => {
  expect(chooseScreen({ process, picture: picture(kind), ...WIDE }).screen).toBe(screen);
});

test('error diffusion is chosen only where the spot is no wider than the pitch, and never for relief', () => {
  const screenAt = (process: ProcessKind, spotPx: number): string =>
    chooseScreen({ process, picture: picture('tone'), ...WIDE, spotPx }).screen;
  expect([1, 1.05, 1.06, 2].map((spotPx) => screenAt('intaglio', spotPx))).toEqual([
    'errordiffusion',
    'errordiffusion',
    'cell',
    'cell',
  ]);
  expect(screenAt('relief', 1)).toBe('dot');
});

test('single pixels are not said to hold where the sheet wants wider marks or lands', () => {
  const screenWith = (limits: Partial<typeof ANY & { spotPx: number }>): string =>
    chooseScreen({ process: 'intaglio', picture: picture('tone'), ...WIDE, spotPx: 1, ...limits }).screen;
  // marks of one spot, lands of two pitches but for a spot between two marks
  expect(screenWith({ minEtchedPx: 1, minKeptPx: 1 })).toBe('errordiffusion');
  expect(screenWith({ spotPx: 0.8, minEtchedPx: 0.8, minKeptPx: 1.2 })).toBe('errordiffusion');
  expect(screenWith({ minEtchedPx: 1.97 })).toBe('cell');
  expect(screenWith({ minKeptPx: 1.57 })).toBe('cell');
  expect(screenWith({ spotPx: 0.5, minEtchedPx: 1 })).toBe('cell');
});

test('every screen advised is one that there is', () => {
  for (const { screenFor } of Object.values(processes))
    for (const advice of Object.values(screenFor)) {
      if (advice) expect(Object.keys(screens)).toContain(advice.screen);
    }
});

test('dots at their own size pass bit for bit; resized, a halftone gets no second lattice', () => {
  for (const process of Object.keys(processes) as ProcessKind[]) {
    const dots = { ...halftone, twoLevel: true };
    const asked = { ...WIDE, process, picture: dots };
    expect(chooseScreen({ ...asked, keepsPixels: true })).toMatchObject({
      screen: 'threshold',
      passes: true,
    });
    const resized = chooseScreen({ ...asked, keepsPixels: false });
    expect(resized.passes).toBe(false);
    expect(['cell', 'grain']).toContain(resized.screen);
  }
});

test('neither a scan of a halftone at its own size nor a dither at another is passed', () => {
  const scan = chooseScreen({ ...WIDE, process: 'intaglio', picture: halftone, keepsPixels: true });
  expect(scan).toMatchObject({ screen: 'cell', passes: false });
  const dither = picture('screened', { twoLevel: true, specks: 0.4 });
  expect(chooseScreen({ process: 'relief', picture: dither, ...WIDE })).toMatchObject({
    screen: 'grain',
    passes: false,
  });
});

test('nobody is told of lines, or of shading, where a picture has none', () => {
  for (const process of Object.keys(processes) as ProcessKind[])
    for (const kind of ['flat', 'solid'] as const)
      for (const spotPx of [1, 2]) {
        const { why } = chooseScreen({ process, picture: picture(kind), ...WIDE, spotPx });
        expect(why).not.toMatch(/lines?\b|drawing|shaded/);
      }
});
