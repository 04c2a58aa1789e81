import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Bitmap, countBits, createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import { both, heaped, solid, without } from '../../../src/core/separations/bits.ts';
import { deltasOf, nestedStages, reduction } from '../../../src/core/separations/reduction.ts';
import { startSheets } from '../../../src/core/start-sheets.ts';
import { eachPixel, greys, labelled, patches } from './drawn.ts';

const runs = { seed: 10, numRuns: 100 };

const bitmaps = (count: number): fc.Arbitrary<Bitmap[]> =>
  fc.tuple(fc.integer({ min: 1, max: 20 }), fc.integer({ min: 1, max: 12 })).chain(([widthPx, heightPx]) =>
    fc
      .array(fc.array(fc.boolean(), { minLength: widthPx * heightPx, maxLength: widthPx * heightPx }), {
        minLength: count,
        maxLength: count,
      })
      .map((all) =>
        all.map((bits) => {
          const map = createBitmap(widthPx, heightPx);
          eachPixel(map, (x, y, at) => setBit(map, x, y, bits[at] ? 1 : 0));
          return map;
        }),
      ),
  );

const isEmpty = ({ data }: Bitmap): boolean => countBits(data) === 0;

function shape(asked: readonly Bitmap[], overlapMm = 2) {
  const way = reduction.way({ overlapMm });
  if (way.draws !== 'areas') throw new Error('areas wanted');
  const { widthPx, heightPx } = asked[0]!;
  const labels = { widthPx, heightPx, data: new Uint8Array(widthPx * heightPx) };
  return way.shape({ labels, asked }, { pxPerMm: 1, inks: greys(asked.length), smallestPx: 2, kerfMm: 0 });
}

describe('stages', () => {
  test('each lies within the one before, and what was asked for beyond is counted', () => {
    fc.assert(
      fc.property(bitmaps(4), (asked) => {
        const { stages, clippedPx } = nestedStages(asked);
        for (const [k, stage] of stages.entries()) {
          if (k > 0) expect(isEmpty(without(stage, stages[k - 1]!))).toBe(true);
          expect(isEmpty(without(stage, asked[k]!))).toBe(true);
          let missing = 0;
          eachPixel(stage, (x, y) => {
            const byte = y * stage.strideBytes + (x >> 3);
            if (asked[k]!.data[byte]! & ~stage.data[byte]! & (0x80 >> (x & 7))) missing++;
          });
          expect(clippedPx[k]).toBe(missing);
        }
      }),
      runs,
    );
  });

  test('what is cut before a stage is what the stage before had and it has not; all cuts and the last stage are the block', () => {
    fc.assert(
      fc.property(bitmaps(4), (asked) => {
        const { stages } = nestedStages(asked);
        const deltas = deltasOf(stages);
        const whole = solid(stages[0]!.widthPx, stages[0]!.heightPx);
        let areaPx = countBits(stages.at(-1)!.data);
        for (const [k, delta] of deltas.entries()) {
          expect(delta.data).toEqual(without(stages[k - 1] ?? whole, stages[k]!).data);
          areaPx += countBits(delta.data);
          for (const other of deltas.slice(0, k)) expect(isEmpty(both(delta, other))).toBe(true);
        }
        expect(areaPx).toBe(countBits(whole.data));
      }),
      runs,
    );
  });

  test('with all the overlap, the block still prints every stage as it should', () => {
    fc.assert(
      fc.property(bitmaps(3), fc.integer({ min: 0, max: 4 }), (asked, overlapMm) => {
        const { stages } = nestedStages(asked);
        let block = solid(stages[0]!.widthPx, stages[0]!.heightPx);
        for (const [k, file] of shape(asked, overlapMm).plates.entries()) {
          block = both(block, file);
          expect(block.data).toEqual(stages[k]!.data);
        }
      }),
      runs,
    );
  });

  test('of one picture each colour is a stage with all colours after it, and nothing is clipped', () => {
    fc.assert(
      fc.property(patches(3), (labels) => {
        const way = reduction.way({ overlapMm: 0 });
        if (way.draws !== 'areas') throw new Error('areas wanted');
        const { plates, findings } = way.shape(
          { labels, asked: null },
          { pxPerMm: 1, inks: greys(3), smallestPx: 0, kerfMm: 0 },
        );
        expect(findings).toEqual([]);
        let block = solid(labels.widthPx, labels.heightPx);
        const seen = new Uint8Array(labels.data.length);
        for (const [k, file] of plates.entries()) {
          block = both(block, file);
          eachPixel(block, (x, y, at) => {
            if (block.data[y * block.strideBytes + (x >> 3)]! & (0x80 >> (x & 7))) seen[at] = k + 1;
          });
        }
        expect(seen).toEqual(labels.data);
      }),
      runs,
    );
  });

  test('a piece that is frail at its own stage is told of that stage, and of those after which still have it', () => {
    const labels = labelled('1111111111', '1111112111', '1111111111', '1133331111', '1133331111');
    const way = reduction.way({ overlapMm: 0 });
    if (way.draws !== 'areas') throw new Error('areas wanted');
    const { findings } = way.shape(
      { labels, asked: null },
      { pxPerMm: 1, inks: greys(3), smallestPx: 2, kerfMm: 0 },
    );
    expect(findings).toEqual([{ code: 'stage-frail', plate: 1, count: 1, areaPx: 1 }]);
  });
});

test('how often places are cut, counted pixel by pixel', () => {
  fc.assert(
    fc.property(bitmaps(4), (cuts) => {
      const counts: number[] = [];
      eachPixel(cuts[0]!, (x, y) => {
        counts.push(cuts.filter((cut) => getBit(cut, x, y) === 1).length);
      });
      const againPx = counts.filter((count) => count > 1).length;
      expect(heaped(cuts)).toEqual({ most: Math.max(...counts), againPx });
    }),
    runs,
  );
});

describe('start sheets', () => {
  test('37 for 31 wanted, three printings and five in a hundred lost (31 ÷ 0.95³ = 36.16, worked by hand)', () => {
    expect(startSheets(31, 3, 0.05)).toBe(37);
  });

  test('none lost: as many as wanted; a whole number is not lifted', () => {
    expect(startSheets(15, 4, 0)).toBe(15);
    expect(startSheets(81, 2, 0.1)).toBe(100);
  });
});
