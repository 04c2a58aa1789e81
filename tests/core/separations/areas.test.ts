import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { countBits, getBit } from '../../../src/core/bitmap.ts';
import { parseColour } from '../../../src/core/proof/colour.ts';
import { rowStream } from '../../../src/core/rng.ts';
import { bitsOf, grown, labelRange, labelsOf } from '../../../src/core/separations/bits.ts';
import { labOf } from '../../../src/core/separations/lab.ts';
import { inksOf, nearestTable, paletteCell } from '../../../src/core/separations/palette.ts';
import { smoothed } from '../../../src/core/separations/smooth.ts';
import { swallowSmall } from '../../../src/core/separations/swallow.ts';
import { eachPixel, labelled, patches, shown } from './drawn.ts';

const runs = { seed: 11, numRuns: 100 };

describe('labels and bitmaps', () => {
  test('a bitmap of each label, and back', () => {
    fc.assert(
      fc.property(patches(4), (labels) => {
        const maps = [1, 2, 3, 4].map((label) => bitsOf(labels, labelRange(label, label)));
        expect(labelsOf(maps)).toEqual(labels);
      }),
      runs,
    );
  });

  test('grown by a square, as pixel by pixel', () => {
    fc.assert(
      fc.property(patches(1), fc.integer({ min: 0, max: 5 }), (labels, px) => {
        const map = bitsOf(labels, labelRange(1, 1));
        const wide = grown(map, px);
        eachPixel(map, (x, y) => {
          let near = 0;
          for (let dy = -px; dy <= px; dy++)
            for (let dx = -px; dx <= px; dx++)
              if (x + dx >= 0 && x + dx < map.widthPx && y + dy >= 0 && y + dy < map.heightPx)
                near |= getBit(map, x + dx, y + dy);
          expect(getBit(wide, x, y)).toBe(near);
        });
        // what lies behind the last pixel of a row stays nought
        expect(countBits(wide.data)).toBe(
          labels.data.filter((_, at) => getBit(wide, at % map.widthPx, Math.floor(at / map.widthPx))).length,
        );
      }),
      runs,
    );
  });
});

/** Pieces of one label, corners included, by flooding. */
function floods({ widthPx, heightPx, data }: ReturnType<typeof labelled>): number[][] {
  const seen = new Uint8Array(data.length);
  const pieces: number[][] = [];
  for (let start = 0; start < data.length; start++) {
    if (seen[start]) continue;
    const piece = [start];
    seen[start] = 1;
    for (let i = 0; i < piece.length; i++) {
      const [x, y] = [piece[i]! % widthPx, Math.floor(piece[i]! / widthPx)];
      for (let dy = -1; dy <= 1; dy++)
        for (let dx = -1; dx <= 1; dx++) {
          const at = (y + dy) * widthPx + x + dx;
          if (x + dx < 0 || x + dx >= widthPx || y + dy < 0 || y + dy >= heightPx) continue;
          if (seen[at] || data[at] !== data[start]) continue;
          seen[at] = 1;
          piece.push(at);
        }
    }
    pieces.push(piece);
  }
  return pieces;
}

describe('small pieces', () => {
  test('a speck goes to the colour it borders most', () => {
    const labels = labelled('1111222222', '1111222222', '1111322222', '1111222222');
    const { count, areaPx } = swallowSmall(labels, { smallestPx: 2, lines: [0, 1, 2, 3] });
    expect(shown(labels)[2]).toBe('1111222222');
    expect([count[3], areaPx[3]]).toEqual([1, 1]);
  });

  test('a soft edge between two colours that falls to a third is taken away, a line of the key is not', () => {
    const rows = Array.from({ length: 40 }, () => '1111111132222222224111111111');
    const labels = labelled(...rows);
    swallowSmall(labels, { smallestPx: 6, lines: [0, 4] });
    expect(new Set(shown(labels))).toHaveProperty('size', 1);
    expect(shown(labels)[0]).toMatch(/^1{8}[12]2{9}41{9}$/);
  });

  test('none is left that is too small, unless there is nothing else; large ones keep every pixel', () => {
    fc.assert(
      fc.property(patches(3), fc.integer({ min: 1, max: 5 }), (labels, smallestPx) => {
        const before = { ...labels, data: labels.data.slice() };
        const least = (Math.PI / 4) * smallestPx ** 2;
        swallowSmall(labels, { smallestPx, lines: [0, 1, 2, 3] });
        const large = floods(before).filter((piece) => piece.length >= least);
        for (const piece of large) for (const at of piece) expect(labels.data[at]).toBe(before.data[at]);
        if (large.length > 0)
          for (const piece of floods(labels)) expect(piece.length).toBeGreaterThanOrEqual(least);
        else expect(labels.data).toEqual(before.data);
      }),
      runs,
    );
  });
});

describe('the palette', () => {
  // Lindbloom's calculator, from memory: sRGB red is L*a*b* 53.24, 80.09, 67.20; blue 32.30, 79.19, −107.86
  test.each([
    ['#ff0000', [53.24, 80.09, 67.2]],
    ['#0000ff', [32.3, 79.19, -107.86]],
    ['#ffffff', [100, 0, 0]],
    ['#000000', [0, 0, 0]],
  ] as const)('%s has the L*a*b* that is published for it', (colour, lab) => {
    for (const [k, value] of labOf(parseColour(colour, 'test')).entries())
      expect(Math.abs(value - lab[k]!)).toBeLessThan(0.06);
  });

  test('every ink falls to itself', () => {
    const colours = ['#f6f2e8', '#98c1d9', '#3d5a80', '#e0b030', '#20262e'];
    const table = nearestTable(colours.map((colour) => parseColour(colour, 'test')));
    for (const [index, colour] of colours.entries()) {
      const [red, green, blue] = [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16));
      expect(table[paletteCell(red!, green!, blue!)]).toBe(index);
    }
  });

  test('finds the inks of a picture of flat colours with soft edges, from light to dark', () => {
    const inks = ['#98c1d9', '#e0b030', '#3d5a80', '#20262e'];
    const all = ['#f6f2e8', ...inks].map((colour) =>
      [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16)),
    );
    const next = rowStream(3, 0, 0);
    const rgb = new Uint8Array(3 * 4000);
    for (let i = 0; i < 4000; i++) {
      const [one, other] = [all[next() % 5]!, all[next() % 5]!];
      const mix = next() % 10 === 0 ? (next() % 100) / 100 : 0; // a tenth of all lie on edges
      for (let k = 0; k < 3; k++) rgb[3 * i + k] = Math.round(one[k]! * (1 - mix) + other[k]! * mix);
    }
    const found = inksOf(rgb, 4, parseColour('#f6f2e8', 'paper'), 1);
    expect(found).toHaveLength(4);
    const far = (one: string, other: string): number =>
      Math.hypot(...labOf(parseColour(one, 'a')).map((v, k) => v - labOf(parseColour(other, 'b'))[k]!));
    for (const ink of inks) expect(Math.min(...found.map((one) => far(one, ink)))).toBeLessThan(3);
  });

  test('a picture of fewer colours gives fewer inks', () => {
    const rgb = new Uint8Array(300).map((_, i) => (i < 150 ? 255 : 0));
    expect(inksOf(rgb, 4, [1, 1, 1], 1)).toEqual(['#000000']);
  });
});

test('smoothing is two means over squares, the edge going on', () => {
  fc.assert(
    fc.property(patches(3), fc.integer({ min: 2, max: 14 }), ({ widthPx, heightPx, data }, overPx) => {
      const size = { widthPx, heightPx };
      const reach = Math.floor(overPx / 4 + 0.5);
      const mean = (from: (x: number, y: number) => number) => (x: number, y: number) => {
        let sum = 0;
        for (let dy = -reach; dy <= reach; dy++)
          for (let dx = -reach; dx <= reach; dx++)
            sum += from(
              Math.min(widthPx - 1, Math.max(0, x + dx)),
              Math.min(heightPx - 1, Math.max(0, y + dy)),
            );
        return Math.round(sum / (2 * reach + 1) ** 2);
      };
      const tone = (x: number, y: number) => data[y * widthPx + x]! * 20000;
      const once = new Map<number, number>();
      const firstMean = mean(tone);
      const cached = (x: number, y: number) => {
        const at = y * widthPx + x;
        if (!once.has(at)) once.set(at, firstMean(x, y));
        return once.get(at)!;
      };
      const slow = mean(cached);
      const rows = smoothed(
        (y, into) => {
          for (let x = 0; x < widthPx; x++) into[x] = tone(x, y);
        },
        size,
        overPx,
      );
      const row = new Uint16Array(widthPx);
      for (let y = 0; y < heightPx; y++) {
        rows(y, row);
        for (let x = 0; x < widthPx; x++) expect(row[x]).toBe(reach < 1 ? tone(x, y) : slow(x, y));
      }
    }),
    { seed: 12, numRuns: 40 },
  );
});
