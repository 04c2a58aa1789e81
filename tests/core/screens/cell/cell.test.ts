import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { PNG } from 'pngjs';
import { describe, expect, test } from 'vitest';
import { type Bitmap, countBits, getBit } from '../../../../src/core/bitmap.ts';
import { cell } from '../../../../src/core/screens/cell.ts';
import { frameOf, type ScreenPlace } from '../../../../src/core/screens/contract.ts';
import { erosionOnly, seamsOf, trimRows } from '../../../../src/core/trim.ts';
import {
  coverage,
  type Drawing,
  flat,
  hex,
  opener,
  placeOf,
  screened,
  settled,
  tablesFor,
  toneRow,
} from '../drive.ts';
import {
  complemented,
  etched,
  meanTone,
  photo,
  predictedShare,
  spotted,
  surface,
  thinLandShare,
} from './measure.ts';
import { slowCells } from './slow.ts';

const POINT = 0.01;
const plain = { lines: 'off' };

/** Spot in pixels, beam. */
const MACHINES = [1, 2, 2.95].flatMap((spotPx) =>
  (['pulse', 'sweep'] as const).map((beam) => [spotPx, beam] as const),
);

describe.each(MACHINES)('after a spot of %d px, %s', (spotPx, beam) => {
  const place = spotted(spotPx, { beam });
  // cells no wider than the spot ask most of the booking
  const given = { ...plain, cellMm: Math.ceil(spotPx) / place.pxPerMm };
  const solid = predictedShare(etched(flat(65535, 96), given, place).pulses, place, 32, 64);

  test('flat tones are etched as asked for, within 0.15 points', () => {
    for (let code = 0; code < 256; code += 15) {
      const { pulses } = etched(flat(code * 257, 240), given, place);
      const share = predictedShare(pulses, place, 24, 216);
      // a solid of round marks one pixel wide has gaps, and nothing is darker
      expect(Math.abs(share - Math.min(code / 255, solid)), `code ${code}`).toBeLessThan(0.15 * POINT);
    }
  });

  test('a picture keeps its tone within 0.2 points', () => {
    const picture = photo(420, 360, 0.03, 0.97 * solid);
    const { pulses } = etched(picture, given, place);
    expect(Math.abs(predictedShare(pulses, place, 0, 360) - meanTone(picture))).toBeLessThan(0.2 * POINT);
  });

  test('no land cell is touched, looked at in 16 × 16 places of each pixel', () => {
    const scale = 16;
    const { cells, pulses } = etched(photo(96, 80), given, place);
    const marks = surface(pulses, place, scale);
    const { shiftPx } = frameOf(cell, settled(cell, given, place), place);
    let touched = 0;
    let looked = 0;
    for (let y = 4; y < 76; y++)
      for (let x = 4; x < 92; x++) {
        if (getBit(cells, x, y)) continue;
        looked++;
        const left = (x + shiftPx.x) * scale;
        const top = (y + shiftPx.y) * scale;
        for (let j = 0; j < scale; j++)
          for (let i = 0; i < scale; i++) touched += marks[(top + j) * 96 * scale + left + i]!;
      }
    expect(looked).toBeGreaterThan(1000);
    expect(touched).toBe(0);
  });
});

test('every fifth of 256 tones of a spot as wide as the cell, within 0.15 points', () => {
  const place = spotted(2);
  for (let code = 0; code < 256; code += 5) {
    const { pulses } = etched(flat(code * 257, 192), { ...plain, cellMm: 0.1 }, place);
    const share = predictedShare(pulses, place, 24, 168);
    expect(Math.abs(share - code / 255), `code ${code}`).toBeLessThan(0.15 * POINT);
  }
});

test('the prediction agrees with counting at 32 × 32 places of each pixel', () => {
  const place = spotted(2);
  const { pulses } = etched(flat(26214, 100), { ...plain, cellMm: 0.1 }, place);
  const marks = surface(pulses, place, 32);
  const counted = marks.reduce((sum, bit) => sum + bit, 0) / marks.length;
  // a disc of two pixels is 0.34 % too large at 32 × 32
  expect(Math.abs(counted - predictedShare(pulses, place, 0, 100))).toBeLessThan(0.2 * POINT);
});

test('a picture of a harbour under a cap of 80 % keeps its tone within 0.2 points', () => {
  const file = fileURLToPath(new URL('../../../../examples/sound-tone.png', import.meta.url));
  const png = PNG.sync.read(readFileSync(file));
  const clamp = (at: number, size: number): number => Math.min(size - 1, Math.max(0, Math.round(at)));
  const picture: Drawing = {
    widthPx: 500,
    heightPx: 500,
    toneAt: (x, y) => {
      const at = clamp(y * 2, png.height) * png.width + clamp(300 + x * 2, png.width);
      return Math.round((255 - png.data[4 * at]!) * 257 * 0.8);
    },
  };
  for (const etchedSide of ['ink', 'paper'] as const) {
    const place = spotted(2, { etchedSide });
    const { pulses } = etched(picture, { ...plain, cellMm: 0.1 }, place);
    const wanted = etchedSide === 'ink' ? meanTone(picture) : 1 - meanTone(picture);
    expect(Math.abs(predictedShare(pulses, place, 0, 500) - wanted)).toBeLessThan(0.2 * POINT);
  }
});

test('of the land at most 1.5 % is narrower than the spot where cells are as wide as it', () => {
  const place = spotted(2);
  const { pulses } = etched(photo(500, 400), { ...plain, cellMm: 0.1 }, place);
  expect(thinLandShare(surface(pulses, place, 4), 500 * 4, 2 * 4, 40)).toBeLessThan(0.015);
});

test('what is made of light tones is what is made of dark ones turned over, where the paper is etched', () => {
  const picture = photo(131, 90, 0, 1);
  const turned: Drawing = { ...picture, toneAt: (x, y) => 65535 - picture.toneAt(x, y) };
  const intaglio = screened(cell, picture, plain, {}, spotted(2));
  const relief = screened(cell, turned, plain, {}, spotted(2, { etchedSide: 'paper' }));
  expect(hex(relief)).toBe(hex(complemented(intaglio)));
});

test.each(['ink', 'paper'] as const)('edges of a picture cut no cell narrower, %s etched', (etchedSide) => {
  const place = placeOf({ etchedSide });
  const map = screened(cell, flat(30_000, 103, 97), { ...plain, cellMm: 10 / place.pxPerMm }, {}, place);
  for (let y = 0; y < 97; y++)
    for (let x = 0; x < 103; x++)
      expect(getBit(map, x, y), `${x}, ${y}`).toBe(getBit(map, Math.min(x, 99), Math.min(y, 89)));
  expect(coverage(map)).toBeGreaterThan(0.4);
  expect(coverage(map)).toBeLessThan(0.52);
});

test('a seam between bands shows neither a light nor a dark stripe', () => {
  const place = spotted(2);
  for (const tone of [3277, 16384, 39321, 58982]) {
    const { pulses } = etched(flat(tone, 6000, 160), { ...plain, cellMm: 0.1 }, place, { bandRows: 80 });
    // 16 rows on either side of the seam
    expect(Math.abs(predictedShare(pulses, place, 64, 96) - tone / 65535)).toBeLessThan(0.15 * POINT);
  }
});

describe('cells', () => {
  /** Etched cells by the slow way, its tables those of the screen. */
  function slow(drawing: Drawing, given: Record<string, unknown>, place: ScreenPlace): Bitmap {
    const params = settled(cell, given, place);
    const parsed = cell.params.parse(params);
    const { texture, losses } = tablesFor(cell, params, place) as ReturnType<NonNullable<typeof cell.build>>;
    const frame = frameOf(cell, params, place);
    const { cellXMm, cellYMm } = cell.achieved!(parsed, place, { texture, losses });
    return slowCells(drawing, {
      cellX: Math.round(Number(cellXMm) * place.pxPerMm),
      cellY: Math.round(Number(cellYMm) * place.pxPerMm),
      leadInCells: frame.leadInRows / frame.stepRows,
      losses,
      texture,
      strength: parsed.texture,
      seed: parsed.seed,
    });
  }

  test.each([
    [1, {}],
    [2, {}],
    [2, { texture: 0 }],
    [3, { texture: 1, seed: 7 }],
    [4, {}],
    [5, { texture: 0.2 }],
    [9, {}],
    [11, {}],
  ])('of %d px are drawn as one by one, the obvious way; %j', (cellPx, given) => {
    const place = spotted(Math.min(cellPx, 2));
    for (const widthPx of [1, 16, 61, 130]) {
      const drawing = photo(widthPx, 41, 0, 1);
      const all = { ...plain, ...given, cellMm: cellPx / place.pxPerMm };
      const map = screened(cell, drawing, all, {}, place);
      expect(hex(map), `${widthPx} px wide`).toBe(hex(slow(drawing, all, place)));
    }
  });

  test('of swept marks are wider than high, and drawn the obvious way', () => {
    const place = spotted(2, { beam: 'sweep' });
    const given = { ...plain, cellMm: 0.1 };
    expect(frameOf(cell, settled(cell, given, place), place)).toMatchObject({
      stepRows: 2,
      shiftPx: { x: -1, y: -0.5 },
      trim: { erodePx: { x: 3, y: 2 } },
    });
    const drawing = photo(100, 41);
    expect(hex(screened(cell, drawing, given, {}, place))).toBe(hex(slow(drawing, given, place)));
  });

  test('are whole blocks where the spot is not allowed for, and as many are fired as the tone asks for', () => {
    const place = placeOf();
    expect(frameOf(cell, settled(cell, plain, place), place).trim).toBeNull();
    for (const tone of [6554, 32768, 52428])
      expect(Math.abs(coverage(screened(cell, flat(tone, 300), plain)) - tone / 65535)).toBeLessThan(0.003);
  });

  test('paper gets no mark and a solid no hole, whatever stands beside them', () => {
    const place = spotted(2);
    const given = { ...plain, cellMm: 0.1, texture: 1 };
    const drawing: Drawing = {
      widthPx: 120,
      heightPx: 120,
      toneAt: (x, y) => (x < 40 ? 0 : x < 80 ? 300 + 500 * y : 65535),
    };
    const map = screened(cell, drawing, given, {}, place);
    for (let y = 0; y < 120; y++) {
      for (let x = 0; x < 40; x++) expect(getBit(map, x, y)).toBe(0);
      for (let x = 80; x < 120; x++) expect(getBit(map, x, y)).toBe(1);
    }
  });

  test('no error runs on behind a white ground', () => {
    const place = spotted(2);
    // edges of solids on paper lose what nothing can make up for; a grey far below must not be handed it
    const drawing: Drawing = {
      widthPx: 200,
      heightPx: 400,
      toneAt: (x, y) => (y >= 340 ? 6554 : y < 300 && x % 10 < 4 ? 65535 : 0),
    };
    const map = screened(cell, drawing, { ...plain, cellMm: 0.1 }, {}, place);
    const grey = countBits(map.data, 340 * map.strideBytes, 360 * map.strideBytes) / (200 * 20);
    expect(grey).toBeGreaterThan(0.06);
    expect(grey).toBeLessThan(0.14);
  });

  test('the texture moves dots, the seed moves them otherwise', () => {
    const drawing = flat(20000, 100);
    const draw = (given: Record<string, unknown>): string =>
      hex(screened(cell, drawing, { ...plain, ...given }));
    expect(new Set([draw({}), draw({ texture: 0 }), draw({ texture: 1 }), draw({ seed: 2 })]).size).toBe(4);
  });
});

describe('lines', () => {
  /** Strokes 5 and 1 px wide on paper, beside a grey. */
  const strokes: Drawing = {
    widthPx: 220,
    heightPx: 150,
    toneAt: (x, y) => {
      if (x >= 120) return 26214;
      return y > 20 && y < 130 && ((x >= 21 && x < 26) || x === 60) ? 65535 : 0;
    },
  };
  const rowOf = (map: Bitmap, y: number): string =>
    Array.from({ length: 120 }, (_, x) => getBit(map, x, y)).join('');
  const stroke = (from: number, to: number): string => '0'.repeat(from) + '1'.repeat(to - from);

  test.each(['ink', 'paper'] as const)(
    'keep their edges to the pixel where the %s is etched',
    (etchedSide) => {
      const place = spotted(2, { etchedSide });
      const given = { cellMm: 0.1 };
      for (const y of [50, 75, 99]) {
        const sharp = rowOf(screened(cell, strokes, given, {}, place), y);
        expect(sharp.startsWith(`${stroke(21, 26)}0`)).toBe(true);
        const blocks = rowOf(screened(cell, strokes, { ...plain, ...given }, {}, place), y);
        expect(blocks.startsWith(`${stroke(21, 26)}0`)).toBe(false);
      }
    },
  );

  test('leave a grey beside them as it is, and paper bare', () => {
    const map = screened(cell, strokes, { cellMm: 0.1 }, {}, spotted(2));
    let grey = 0;
    for (let y = 0; y < 150; y++) {
      for (let x = 130; x < 220; x++) grey += getBit(map, x, y);
      for (let x = 64; x < 116; x++) expect(getBit(map, x, y)).toBe(0);
    }
    // cells are fired a little more than the tone, for what the spot leaves of them
    expect(grey / (90 * 150)).toBeGreaterThan(0.4);
    expect(grey / (90 * 150)).toBeLessThan(0.5);
  });

  test('are the same in any order of bands', () => {
    const draw = (bottomUp: boolean): string =>
      hex(screened(cell, strokes, { cellMm: 0.1 }, { bandRows: 32, bottomUp }, spotted(2)));
    expect(draw(true)).toBe(draw(false));
  });

  test('too fine to hold are told', () => {
    const place = spotted(2);
    const given = { cellMm: 0.1 };
    const { leadInRows, delayRows } = frameOf(cell, settled(cell, given, place), place);
    const row = opener(cell, 220, given, place)(-leadInRows);
    const bits = new Uint8Array(28);
    for (let y = -leadInRows; y < 150 + delayRows; y++) row(toneRow(strokes, y), y, bits, 0);
    expect(row.found!(0, 150)).toContainEqual(
      expect.objectContaining({ code: 'stroke-too-fine', xPx: 60, yPx: 21, heightPx: 109, sizePx: 1 }),
    );
  });

  test('are left to the screen where cells are wider than lettering', () => {
    const place = spotted(2);
    const delay = (cellMm: number): number =>
      frameOf(cell, settled(cell, { cellMm }, place), place).delayRows;
    expect(delay(33 / 20)).toBe(32);
    expect(delay(32 / 20)).toBeGreaterThan(32);
  });
});

describe('the length of a cell', () => {
  const mm = (given: Record<string, unknown>, place: ScreenPlace): number =>
    Number(settled(cell, given, place)['cellMm']);

  test.each([
    ['a tenth more than the spot, in whole pixels', { spotPx: 2 }, 3],
    ['no more where whole pixels leave room', { spotPx: 2.7 }, 3],
    ['the smallest land', { spotPx: 2, minKeptPx: 4.5 }, 5],
    ['the smallest mark', { spotPx: 2, minEtchedPx: 6 }, 6],
    ['whole pixels but for noise', { spotPx: 1, minKeptPx: 4.0000000001 }, 4],
  ])('is %s', (_, given, cellPx) => {
    const place = spotted(2, given);
    expect(mm({}, place) * place.pxPerMm).toBeCloseTo(cellPx, 9);
    // settled twice is settled once
    expect(mm({ cellMm: mm({}, place) }, place)).toBe(mm({}, place));
    expect(frameOf(cell, settled(cell, {}, place), place).stepRows).toBe(cellPx);
  });

  test('is refused where no mark fits in', () => {
    const place = spotted(2.2);
    expect(() => mm({ cellMm: 0.1 }, place)).toThrow(
      expect.objectContaining({
        kind: 'usage',
        code: 'cell-under-spot',
        hint: expect.stringContaining('0.15 mm'),
      }),
    );
    expect(mm({ cellMm: 0.15 }, place)).toBe(0.15);
    expect(mm({ cellMm: 0.1 }, { ...place, allowsForSpot: false })).toBe(0.1);
  });

  test('is told as achieved', () => {
    const place = spotted(2, { beam: 'sweep' });
    const params = cell.params.parse({ cellMm: 0.09 });
    expect(cell.achieved!(params, place, cell.build!(params, place))).toEqual({
      cellXMm: 0.15,
      cellYMm: 0.1,
      erodedXPx: 3,
      erodedYPx: 2,
    });
  });
});

test('whole cells are their own openings, also where the plate’s edge cuts them: leaving the openings out changes nothing', () => {
  for (const [widthPx, heightPx] of [
    [101, 67],
    [96, 64],
    [47, 50],
  ] as const) {
    const drawing = { widthPx, heightPx, toneAt: (x: number, y: number) => (x * 700 + y * 311) % 60000 };
    const place = placeOf({ spotPx: 2.95, allowsForSpot: true });
    const given = { cellMm: 3 / place.pxPerMm, lines: 'off' };
    const marks = screened(cell, drawing, given, {}, place);
    const { trim } = frameOf(cell, settled(cell, { ...given, lines: 'auto' }, place), place);
    expect(trim!.marksPx).toEqual({ x: 3, y: 3 });
    const whole = { ...marks, data: marks.data.slice() };
    trimRows(whole, trim!, 0, heightPx, seamsOf(whole, trim!, 0, heightPx));
    const eroded = erosionOnly(trim!);
    trimRows(marks, eroded, 0, heightPx, seamsOf(marks, eroded, 0, heightPx));
    expect(hex(marks)).toBe(hex(whole));
  }
});
