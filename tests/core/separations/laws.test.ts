/** Laws of whole methods, from what they are given to the plates that they hand on. */

import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Bitmap, countBits, createBitmap, setBit } from '../../../src/core/bitmap.ts';
import { both, solid, without } from '../../../src/core/separations/bits.ts';
import type { Areas, SeparationWay } from '../../../src/core/separations/contract.ts';
import { key } from '../../../src/core/separations/key.ts';
import { reduction } from '../../../src/core/separations/reduction.ts';
import { swallowSmall } from '../../../src/core/separations/swallow.ts';
import { tones } from '../../../src/core/separations/tones.ts';
import { composed, eachPixel, greys, patches } from './drawn.ts';

const runs = { seed: 21, numRuns: 80 };

function shaped(way: SeparationWay, areas: Areas, inks: number): readonly Bitmap[] {
  if (way.draws !== 'areas') throw new Error('areas wanted');
  return way.shape(areas, { pxPerMm: 1, inks: greys(inks), smallestPx: 2, kerfMm: 0 }).plates;
}

const isEmpty = ({ data }: Bitmap): boolean => countBits(data) === 0;

/** Three pictures of stages that need not lie within each other. */
const askedStages = fc
  .tuple(patches(1), fc.array(fc.integer({ min: 0, max: 7 }), { minLength: 64, maxLength: 64 }))
  .map(([first, dice]) =>
    [0, 1, 2].map((stage) => {
      const map = createBitmap(first.widthPx, first.heightPx);
      eachPixel(map, (x, y, at) => {
        const isAsked =
          stage === 0 ? first.data[at] === 1 : dice[((x >> 2) + (y >> 1) * 5) & 63]! >= 2 + stage;
        setBit(map, x, y, isAsked ? 1 : 0);
      });
      return map;
    }),
  );

/** What the laws of a reduction say of its files: what is cut, and what stands after each. */
function expectReduction(files: readonly Bitmap[]): Bitmap[] {
  const { widthPx, heightPx } = files[0]!;
  let before = solid(widthPx, heightPx);
  return files.map((file) => {
    const cut = without(solid(widthPx, heightPx), file);
    const stands = both(before, file);
    // K(k) lies in K(k − 1), and the cut takes just K(k − 1) \ K(k) of what stands
    expect(isEmpty(without(stands, before))).toBe(true);
    expect(both(cut, before).data).toEqual(without(before, stands).data);
    expect(isEmpty(both(cut, stands))).toBe(true);
    before = stands;
    return stands;
  });
}

test('reduction: of pictures of stages that contradict each other, stages lie in each other and in what was asked for', () => {
  fc.assert(
    fc.property(askedStages, fc.integer({ min: 0, max: 3 }), (asked, overlapMm) => {
      const { widthPx, heightPx } = asked[0]!;
      const labels = { widthPx, heightPx, data: new Uint8Array(widthPx * heightPx) };
      const states = expectReduction(shaped(reduction.way({ overlapMm }), { labels, asked }, 3));
      let wanted = solid(widthPx, heightPx);
      for (const [k, stands] of states.entries()) {
        wanted = both(wanted, asked[k]!);
        expect(stands.data).toEqual(wanted.data);
      }
    }),
    runs,
  );
});

test('reduction: of one picture the states, printed over each other, are the palette picture', () => {
  fc.assert(
    fc.property(patches(3), fc.integer({ min: 0, max: 3 }), (labels, overlapMm) => {
      const states = expectReduction(shaped(reduction.way({ overlapMm }), { labels, asked: null }, 3));
      expect(composed(states)).toEqual(labels.data);
    }),
    runs,
  );
});

test('key: with small pieces swallowed, whatever ink draws the key and however far traps go, the plates are the palette picture', () => {
  fc.assert(
    fc.property(
      patches(3),
      fc.constantFrom(undefined, 'none', 'n1', 'n2', 'n3'),
      fc.integer({ min: 0, max: 3 }),
      (labels, keyInk, trapMm) => {
        const way = key.way({ trapMm, whiteLineMm: 0, ...(keyInk === undefined ? {} : { keyInk }) });
        const data = labels.data.slice();
        swallowSmall({ ...labels, data }, { smallestPx: 3, lines: [0, 3] });
        const plates = shaped(way, { labels: { ...labels, data: data.slice() }, asked: null }, 3);
        expect(composed(plates)).toEqual(data);
      },
    ),
    runs,
  );
});

test('tones: blocks printed over each other are the steps of the picture', () => {
  fc.assert(
    fc.property(patches(4), (labels) => {
      const way = tones.way(tones.params.parse({}));
      expect(composed(shaped(way, { labels, asked: null }, 4))).toEqual(labels.data);
    }),
    runs,
  );
});
