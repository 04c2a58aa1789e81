import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { getBit } from '../../../src/core/bitmap.ts';
import { registerTolerance } from '../../../src/core/register/tolerance.ts';
import { rowStream } from '../../../src/core/rng.ts';
import type { Labels } from '../../../src/core/separations/contract.ts';
import { key } from '../../../src/core/separations/key.ts';
import { composed, eachPixel, greys, labelled, patches } from './drawn.ts';

const runs = { seed: 9, numRuns: 150 };

function shape(labels: Labels, inks = 3, params: object = {}, opaque = true) {
  const way = key.way({ trapMm: 3, whiteLineMm: 0, ...params });
  if (way.draws !== 'areas') throw new Error('areas wanted');
  return way.shape(
    { labels, asked: null },
    { pxPerMm: 1, inks: greys(inks, opaque), smallestPx: 1, kerfMm: 0 },
  );
}

/** Steps from each pixel to the nearest of `from` without leaving the label of the pixel: the slow way, neighbour by neighbour. */
function stepsInside({ widthPx, heightPx, data }: Labels, isSource: (label: number) => boolean): number[] {
  const steps = Array.from(data, () => Number.POSITIVE_INFINITY);
  for (let step = 1, changed = true; changed; step++) {
    changed = false;
    const before = steps.slice();
    eachPixel({ widthPx, heightPx }, (x, y, at) => {
      if (steps[at] !== Number.POSITIVE_INFINITY) return;
      for (let dy = -1; dy <= 1; dy++)
        for (let dx = -1; dx <= 1; dx++) {
          const diagonal = dx !== 0 && dy !== 0;
          if ((dx === 0 && dy === 0) || (diagonal && step % 2 === 1)) continue;
          if (x + dx < 0 || x + dx >= widthPx || y + dy < 0 || y + dy >= heightPx) continue;
          const near = at + dy * widthPx + dx;
          const reaches =
            step === 1
              ? data[near] !== data[at] && isSource(data[near]!)
              : data[near] === data[at] && before[near]! < step;
          if (reaches) {
            steps[at] = step;
            changed = true;
          }
        }
    });
    if (step === 1 && !changed) break;
  }
  return steps;
}

const SIDE = 40;

/** Three sectors of at least 60 degrees around a point by chance, in any order; `lot` gives 0 … 1. */
function meeting(lot: () => number): Labels {
  const [x, y, turn] = [17 + 6 * lot(), 17 + 6 * lot(), lot()];
  const [one, two] = [lot(), lot()].sort((a, b) => a - b) as [number, number];
  // of a whole turn, half goes to the least angles and half by chance
  const ends = [1 / 6 + one / 2, 1 / 3 + two / 2, 1];
  const first = Math.floor(3 * lot());
  const along = lot() < 0.5 ? 1 : 2;
  const data = Uint8Array.from({ length: SIDE * SIDE }, (_, at) => {
    const angle = Math.atan2(Math.floor(at / SIDE) - y, (at % SIDE) - x) / (2 * Math.PI) + turn + 1;
    return 1 + ((first + along * ends.findIndex((end) => angle % 1 <= end)) % 3);
  });
  return { widthPx: SIDE, heightPx: SIDE, data };
}

/** Whether so few pixels away three labels lie in one square of four. */
function isNearMeeting({ widthPx, heightPx, data }: Labels, x: number, y: number, px: number): boolean {
  for (let atY = Math.max(1, y - px); atY <= Math.min(heightPx - 1, y + px); atY++)
    for (let atX = Math.max(1, x - px); atX <= Math.min(widthPx - 1, x + px); atX++) {
      const at = atY * widthPx + atX;
      if (new Set([data[at], data[at - 1], data[at - widthPx], data[at - widthPx - 1]]).size >= 3)
        return true;
    }
  return false;
}

describe('traps', () => {
  test('printed over each other, the plates give the palette picture', () => {
    fc.assert(
      fc.property(patches(3), (labels) => {
        expect(composed(shape(labels).plates)).toEqual(labels.data);
      }),
      runs,
    );
  });

  test('a plate has all of its own area, and beyond it only what a later ink covers', () => {
    fc.assert(
      fc.property(patches(3), (labels) => {
        for (const [index, plate] of shape(labels).plates.entries())
          eachPixel(plate, (x, y, at) => {
            const own = labels.data[at]! === index + 1;
            if (own) expect(getBit(plate, x, y)).toBe(1);
            else if (getBit(plate, x, y)) expect(labels.data[at]).toBeGreaterThan(index + 1);
          });
      }),
      runs,
    );
  });

  test('a spread goes no further than asked, and past the middle of what it goes under only near meetings of three', () => {
    fc.assert(
      fc.property(patches(3), fc.integer({ min: 1, max: 6 }), (labels, trapMm) => {
        for (const [index, plate] of shape(labels, 3, { trapMm }).plates.entries()) {
          const own = stepsInside(labels, (label) => label === index + 1);
          const others = stepsInside(labels, (label) => label !== index + 1);
          const bared = stepsInside(labels, (label) => label === 0);
          eachPixel(plate, (x, y, at) => {
            if (!getBit(plate, x, y) || labels.data[at] === index + 1) return;
            expect(own[at]).toBeLessThanOrEqual(trapMm);
            // to the far edge it is at least as far as to its own; near a meeting of three, to that with paper
            const nearest = isNearMeeting(labels, x, y, 2 * trapMm) ? bared : others;
            expect(own[at]).toBeLessThanOrEqual(nearest[at]!);
          });
        }
      }),
      runs,
    );
  });

  test('under a wide key it reaches all of the width asked for', () => {
    const { plates } = shape(labelled('1111222222222....'), 2, { trapMm: 3 });
    expect(Array.from({ length: 17 }, (_, x) => getBit(plates[0]!, x, 0)).join('')).toBe('11111110000000000');
  });

  test('of a line between two colours each gets one half, of one beside paper the colour no more than half', () => {
    const two = shape(labelled('1113333222'), 3).plates;
    const row = (plate: number) => Array.from({ length: 10 }, (_, x) => getBit(two[plate]!, x, 0)).join('');
    expect([row(0), row(1)]).toEqual(['1111100000', '0000011111']);
    const [beside] = shape(labelled('111333....'), 3).plates;
    expect(Array.from({ length: 10 }, (_, x) => getBit(beside!, x, 0)).join('')).toBe('1111000000');
  });

  test('where three colours meet in a point the set fits to the trap but for a slanting pixel, and always to more than nothing', () => {
    for (const trapMm of [3, 4, 6]) {
      const next = rowStream(9, trapMm, 0);
      const fits = Array.from({ length: 150 }, () => {
        const { plates } = shape(
          meeting(() => next() / 2 ** 32),
          3,
          { trapMm },
        );
        // null: nothing is bared as far as was looked
        return registerTolerance(plates, { pxPerMm: 1, askedMm: 1, mostMm: trapMm }).fitsMm ?? trapMm;
      });
      expect(Math.min(...fits)).toBeGreaterThan(0);
      // tips a pixel wide are gone around, which takes steps
      const near = fits.filter((mm) => mm > trapMm - 1.5);
      expect(near.length / fits.length).toBeGreaterThan(0.8);
    }
  });

  test('across a gap of paper nothing spreads to the next line of the key', () => {
    const [colour] = shape(labelled('1113.33333'), 3, { trapMm: 3 }).plates;
    expect(Array.from({ length: 10 }, (_, x) => getBit(colour!, x, 0)).join('')).toBe('1110000000');
  });

  test('transparent inks: the lighter spreads into the darker whichever is printed first', () => {
    const inks = greys(2, false).reverse(); // dark first
    const way = key.way({ trapMm: 2, whiteLineMm: 0 });
    if (way.draws !== 'areas') throw new Error('areas wanted');
    const { plates } = way.shape(
      { labels: labelled('11112222'), asked: null },
      { pxPerMm: 1, inks, smallestPx: 1, kerfMm: 0 },
    );
    const row = (plate: number) => Array.from({ length: 8 }, (_, x) => getBit(plates[plate]!, x, 0)).join('');
    expect([row(0), row(1)]).toEqual(['11110000', '00111111']);
  });

  test('a white line leaves paper of its width between colours, and none along the key', () => {
    const { plates } = shape(labelled('1111222233331111'), 3, { trapMm: 0, whiteLineMm: 2 });
    const row = (plate: number) =>
      Array.from({ length: 16 }, (_, x) => getBit(plates[plate]!, x, 0)).join('');
    expect([row(0), row(1), row(2)]).toEqual(['1110000000001111', '0000011100000000', '0000000011110000']);
  });

  test('a spread wider than fifteen steps is counted on', () => {
    const line = `${'1'.repeat(4)}${'2'.repeat(60)}`;
    const { plates } = shape(labelled(line, line, line), 2, { trapMm: 20 });
    expect(Array.from({ length: 64 }, (_, x) => getBit(plates[0]!, x, 1)).lastIndexOf(1)).toBe(23);
  });
});
