import { describe, expect, test } from 'vitest';
import { FORCED, type LineArtPlace } from '../../../../src/core/screens/line-art/index.ts';
import type { Drawing } from '../drive.ts';
import { inked, letteringSheet, line, text } from './lettering.ts';
import { perimeter, plateOf, unlike } from './plate.ts';
import { linePlace, runLines } from './run.ts';
import { closed, type Field, fieldOf, opened, slowEtched } from './slow.ts';

const sheet = letteringSheet();
/** Below this row lie the hatches, which may be too close to hold. */
const HATCHES = 322;

/** The hatch whose lines and gaps are wide enough for cells of three pixels. */
const HOLDS_AT_THREE = 4;

/** The square about a hatch. */
const hatchOf = ({ width, bits }: Field, hatch: number): Field =>
  fieldOf(70, 54, (x, y) => bits[(y + 324) * width + x + 8 + 78 * hatch] === 1);

const topOf = ({ width, bits }: Field, rows: number): Field => ({
  width,
  height: rows,
  bits: bits.slice(0, width * rows),
});

const placeFor = (cell: number, etchedSide: 'ink' | 'paper', drawing: Drawing = sheet): LineArtPlace =>
  linePlace({
    widthPx: drawing.widthPx,
    cellXPx: cell,
    cellYPx: cell,
    holdXPx: cell,
    holdYPx: cell,
    strokePx: 2 * cell,
    etchedSide,
  });

describe.each([
  [2, 'ink'],
  [2, 'paper'],
  [3, 'ink'],
  [3, 'paper'],
] as const)('lettering on cells of %i px, %s etched', (cell, etchedSide) => {
  const place = placeFor(cell, etchedSide);
  const run = runLines(sheet, place);
  const plate = plateOf(sheet, place, run);
  const held = slowEtched(sheet, place);

  test('has no whiskers: strokes have as much edge as the held original, where the screen gives far more', () => {
    const wanted = perimeter(topOf(held, HATCHES));
    expect(perimeter(topOf(plate, HATCHES)) / wanted).toBeGreaterThan(0.9);
    expect(perimeter(topOf(plate, HATCHES)) / wanted).toBeLessThan(1.1);
    const unforced = { ...run, forced: fieldOf(run.forced.width, run.forced.height, () => false) };
    expect(unlike(plateOf(sheet, place, unforced), held)).toBeGreaterThan(
      5 * unlike(topOf(plate, HATCHES), topOf(held, HATCHES)),
    );
  });

  test('a hatch that holds has the edge of the held original; with those that do not, where that is all but solid, there is no more edge than drawn', () => {
    const drawn = fieldOf(sheet.widthPx, sheet.heightPx, (x, y) => sheet.toneAt(x, y) > 32767);
    expect(perimeter(plate) / perimeter(drawn)).toBeLessThan(1.1);
    const [got, wanted] = [plate, held].map((field) => perimeter(hatchOf(field, HOLDS_AT_THREE)));
    expect(got! / wanted!).toBeLessThan(1.1);
  });

  test('joins unseen: hardly a pixel is thinner than what holds, marks and lands', () => {
    const hold = { x: cell, y: cell };
    expect(unlike(closed(plate, hold), plate)).toBe(0);
    // closing after opening leaves a nook here and there that no square reaches into
    const etched = plate.bits.reduce((sum, bit) => sum + bit, 0);
    expect(unlike(opened(plate, hold), plate)).toBeLessThan(etched / 500);
  });

  test('keeps the tone of hatches too close to hold, where holding alone would make them solid or take them', () => {
    for (const [i, from] of [12, 90, 168, 246, 324, 402].entries()) {
      let [wanted, ink, area] = [0, 0, 0];
      for (let y = 334; y < 366; y++) {
        const lean = i % 2 ? Math.round(((y - 330) * 17) / 40) : 0;
        for (let x = from + lean + 2; x < from + lean + 34; x++) {
          wanted += sheet.toneAt(x, y) / 65535;
          ink += (plate.bits[y * plate.width + x] === 1) === (etchedSide === 'ink') ? 1 : 0;
          area++;
        }
      }
      expect(Math.abs(ink - wanted) / area).toBeLessThan(0.2);
    }
  });

  test('comes out the same in bands', () => {
    const bands = runLines(sheet, place, 40);
    expect(unlike(bands.etched, run.etched)).toBe(0);
    expect(unlike(bands.forced, run.forced)).toBe(0);
  });
});

describe('what is too fine', () => {
  /** A thin rule, a stout one, a small word and a large one. */
  const drawing = inked(300, 150, [
    line(20, 20.5, 120, 20.5, 1),
    line(20, 40.5, 120, 40.5, 9),
    text('fern', 14, 180, 40),
    text('Key', 64, 20, 130, 10),
  ]);
  const place = placeFor(2, 'ink', drawing);

  test('is told with its place and width, and what holds is not', () => {
    const { found } = runLines(drawing, place);
    const strokes = found.filter(({ code }) => code === 'stroke-too-fine');
    expect(strokes.map(({ yPx, xPx }) => [yPx < 60, xPx > 150])).toEqual(
      expect.arrayContaining([
        [true, false],
        [true, true],
      ]),
    );
    expect(strokes.every(({ yPx }) => yPx < 50)).toBe(true);
    const rule = strokes.find(({ xPx }) => xPx < 60)!;
    expect(rule).toMatchObject({ yPx: 20, heightPx: 1, sizePx: 1 });
    expect(Math.abs(rule.xPx - 20)).toBeLessThanOrEqual(1);
    expect(Math.abs(rule.widthPx - 100)).toBeLessThanOrEqual(2);
    const word = strokes.find(({ xPx }) => xPx > 150)!;
    expect(word.sizePx).toBeGreaterThanOrEqual(1);
    expect(word.sizePx).toBeLessThan(4);
  });

  test('is told once, however the bands fall', () => {
    const whole = runLines(drawing, place).found;
    for (const bandCellRows of [5, 8, 11, 20]) {
      const { found } = runLines(drawing, place, bandCellRows);
      const rules = found.filter(({ yPx, xPx }) => yPx < 24 && xPx < 60);
      expect(rules).toEqual(whole.filter(({ yPx, xPx }) => yPx < 24 && xPx < 60));
    }
  });

  test('tells a gap that must be widened or closes', () => {
    const bars = inked(120, 80, [
      line(20, 20, 100, 20, 8),
      line(20, 29, 100, 29, 8),
      line(20, 48, 100, 48, 8),
    ]);
    const { found } = runLines(bars, placeFor(2, 'ink', bars));
    const gaps = found.filter(({ code }) => code === 'gap-too-fine');
    expect(gaps).toHaveLength(1);
    expect(gaps[0]).toMatchObject({ yPx: 24, heightPx: 1, sizePx: 1 });
  });
});

describe('a tone', () => {
  /** Cells forced solid or bare though hardly any of their pixels are; bare paper forced bare does nothing. */
  const greyForced = (drawing: Drawing, cell: number): number => {
    const { forced } = runLines(drawing, placeFor(cell, 'ink', drawing));
    let count = 0;
    for (let j = 0; j < forced.height; j++)
      for (let i = 0; i < forced.width; i++) {
        const code = forced.bits[j * forced.width + i]!;
        if (code === FORCED.screen) continue;
        const end = code === FORCED.etched ? 65535 : 0;
        let off = 0;
        for (let y = 0; y < cell; y++)
          for (let x = 0; x < cell; x++) {
            const tone = drawing.toneAt(
              Math.min(drawing.widthPx - 1, i * cell + x),
              Math.min(drawing.heightPx - 1, j * cell + y),
            );
            off += tone === end ? 0 : 1;
          }
        if (2 * off > cell * cell) count++;
      }
    return count;
  };

  test('is left to the screen: ramps, flats and soft edges', () => {
    const ramp: Drawing = { widthPx: 256, heightPx: 64, toneAt: (x) => x * 257 };
    const soft: Drawing = {
      widthPx: 128,
      heightPx: 64,
      toneAt: (x, y) => Math.round(32767 + 32767 * Math.sin(x / 6) * Math.cos(y / 5)),
    };
    for (const drawing of [ramp, soft]) {
      const { forced } = runLines(drawing, placeFor(2, 'ink', drawing));
      expect(forced.bits.every((code) => code === FORCED.screen)).toBe(true);
    }
  });

  test.each([75, 80, 85, 90, 95])(
    'of %i per cent beside bare paper has no rim, nor bare paper round a solid in the opposite tint',
    (percent) => {
      // a box, a disc and a wedge whose edges lie anywhere on the cells, hard and soft
      const shapes: Drawing = {
        widthPx: 260,
        heightPx: 120,
        toneAt: (x, y) => {
          const box = Math.min(x - 21, 80 - x, y - 20, 95 - y);
          const disc = 38.3 - Math.hypot(x - 140.2, y - 61.7);
          const wedge = Math.min(y - 25, 100 - y, (x - 190) * 0.8 - (y - 25) * 0.3, 250 - x);
          const inside = Math.max(box, disc, wedge) + 0.5;
          return Math.round(65535 * (percent / 100) * Math.min(1, Math.max(0, inside)));
        },
      };
      const turned: Drawing = { ...shapes, toneAt: (x, y) => 65535 - shapes.toneAt(x, y) };
      for (const drawing of [shapes, turned])
        for (const cell of [2, 3]) expect(greyForced(drawing, cell)).toBeLessThanOrEqual(12);
    },
  );

  test('keeps the strokes upon it sharp, light and dark, and its own', () => {
    const words = [text('Wharf', 24, 20, 16), line(20.4, 60.2, 130, 66.1, 3)];
    const drawn = inked(150, 90, words);
    const shareOf = (drawing: Drawing, cell: number): number => {
      const { forced } = runLines(drawing, placeFor(cell, 'ink', drawing));
      return forced.bits.reduce((sum, code) => sum + (code === FORCED.screen ? 0 : 1), 0);
    };
    for (const cell of [2, 3]) {
      const plain = shareOf(drawn, cell);
      const onTint: Drawing = { ...drawn, toneAt: (x, y) => Math.round(5000 + 0.92 * drawn.toneAt(x, y)) };
      const light: Drawing = { ...drawn, toneAt: (x, y) => 65535 - onTint.toneAt(x, y) };
      const grey: Drawing = { ...drawn, toneAt: (x, y) => Math.round(0.85 * drawn.toneAt(x, y)) };
      for (const drawing of [onTint, light, grey])
        expect(shareOf(drawing, cell)).toBeGreaterThan(0.75 * plain);
    }
  });

  test('asked for between a floor and a cap does not change what is line art', () => {
    const squeezed: Drawing = {
      ...sheet,
      toneAt: (x, y) => {
        const tone = sheet.toneAt(x, y);
        return tone === 0 ? 0 : Math.round(0.04 * 65535 + 0.76 * tone);
      },
    };
    const place = placeFor(2, 'ink');
    const plain = runLines(sheet, place);
    const capped = runLines(squeezed, {
      ...place,
      darkestTone: Math.round(0.8 * 65535),
      lightestTone: Math.round(0.04 * 65535),
    });
    // rounding may decide a pixel at exactly one half, or a cell at exactly the limit
    expect(unlike(capped.etched, plain.etched)).toBeLessThan(0.001 * plain.etched.bits.length);
    expect(unlike(capped.forced, plain.forced)).toBeLessThan(0.001 * plain.forced.bits.length);
  });

  test('wider than the window is screened inside, its edge is not', () => {
    const block: Drawing = { widthPx: 120, heightPx: 60, toneAt: (x) => (x >= 41 && x < 81 ? 65535 : 0) };
    const { forced } = runLines(block, placeFor(2, 'ink', block));
    const row = [...forced.bits.subarray(15 * forced.width, 16 * forced.width)];
    expect(row[30]).toBe(FORCED.screen);
    expect(row[21]).toBe(FORCED.etched);
    expect(row[19]).toBe(FORCED.kept);
  });
});
