import { describe, expect, test } from 'vitest';
import type { Report } from '../../src/report/schema.ts';
import { filesWords, screenWords } from '../../src/report/words.ts';

const told = (screen: object): string => screenWords({ screen } as unknown as Report);
const files = (...names: string[]): string =>
  filesWords(names.map((name) => ({ name })) as unknown as Report['files']);

describe('the screen in words', () => {
  test.each([
    [{ kind: 'dot', rulingLpi: 45, angleDeg: 45 }, 'dot, ruling 45 lpi, angle 45°'],
    [{ kind: 'grain', grainMm: 0.25, clumping: 0.5 }, 'grain, grain 0.25 mm, clumping 0.5'],
    [{ kind: 'threshold', levelPercent: 50 }, 'threshold, level 50 %'],
    [{ kind: 'errordiffusion', kernel: 'floyd-steinberg' }, 'errordiffusion, kernel floyd-steinberg'],
  ])('%j', (screen, words) => expect(told(screen)).toBe(words));

  test('a value asked for and one achieved alike in both directions are told once', () => {
    expect(told({ kind: 'cell', cellMm: 0.2, cellXMm: 0.2032, cellYMm: 0.2032 })).toBe('cell, cell 0.2 mm');
  });

  test('achieved values apart in both directions are told instead of the one asked for', () => {
    expect(told({ kind: 'cell', cellMm: 0.2, cellXMm: 0.203, cellYMm: 0.254 })).toBe(
      'cell, cell x 0.203 mm, cell y 0.254 mm',
    );
  });

  test('pixels, lists and what is told elsewhere stay out', () => {
    const screen = { kind: 'dot', cellPx: 8, tones: 65, predictedKnots: [[0, 0]], why: 'a photograph' };
    expect(told(screen)).toBe('dot');
  });
});

describe('files in words', () => {
  test.each([
    [[], ''],
    [['ferry.plate.png'], 'ferry.plate.png'],
    [['ferry.plate.png', 'ferry.proof.png'], 'ferry.plate.png, .proof.png'],
    [['a.b.plate.tif', 'a.b.plate.pdf', 'a.b.jobsheet.html'], 'a.b.plate.tif, .plate.pdf, .jobsheet.html'],
    // another's name is told in full, even where it begins alike
    [['ferry.plate.png', 'ferry-key.proof.png'], 'ferry.plate.png, ferry-key.proof.png'],
    [['one.png', 'two.png'], 'one.png, two.png'],
  ])('%j', (names, words) => expect(files(...names)).toBe(words));
});
