import * as z from 'zod';
import { defineScreen } from './contract.ts';
import { erodeBits, erosionFor, isErodedDown } from './grain/erosion.ts';
import { grainThresholds } from './grain/mask.ts';
import { defaultGrainMm, measureGrain } from './grain/measures.ts';
import { over } from './grain/morphology.ts';
import { openOrdered, type ThresholdTile, tileOfEtch } from './ordered.ts';
import { seed } from './seed.ts';

/** A random grain of a given size, like a dusted ground: marks and lands all wide enough to hold. */
export const grain = defineScreen({
  kind: 'grain',
  summary: 'random grain of a given size, as of an aquatint; coarse, but every mark and land holds',
  params: z.strictObject({
    grainMm: z
      .number()
      .min(0.03)
      .max(5)
      .describe('size of the grain, from one to the next')
      .meta({ unit: 'mm', unlessGiven: '4 × spot or smallest feature' })
      .optional(),
    irregularity: z
      .number()
      .min(0)
      .max(1)
      .default(0)
      .describe('how uneven the grain is; at 0 all grains are of one width, at 1 of many'),
    seed,
  }),
  leadInRows: 0,
  compensates: 'curve',
  packs: 'repeats',
  forLineArt: false,
  spacing: ({ grainMm = 0 }) => ({ mm: grainMm, of: 'a grain', finer: 'a finer --grain' }),
  widen: 'a wider --grain',
  tones: () => null,
  settle(params, place) {
    const grainMm = params.grainMm ?? defaultGrainMm(place);
    measureGrain(grainMm, place);
    return { ...params, grainMm };
  },
  frame({ grainMm = 0 }, place) {
    const { sidePx, periodPx } = measureGrain(grainMm, place);
    const { delayRows, shiftPx } = erosionFor(place, periodPx);
    return { delayRows, shiftPx, repeatPx: { x: sidePx, y: sidePx } };
  },
  build({ grainMm = 0, irregularity, seed }, place): ThresholdTile {
    const { sidePx: side, ...sizes } = measureGrain(grainMm, place);
    const shape = { ...sizes, side, irregularity, seed, plate: place.plate };
    const thresholds = Float32Array.from(grainThresholds(shape));
    const { offsets, offsetsAbove, downBytes } = erosionFor(place, sizes.periodPx);
    const eroded = over(thresholds, side, offsets, 'highest');
    const above = over(thresholds, side, offsetsAbove, 'highest');
    for (let i = 0; i < above.length; i++) if (isErodedDown(i % side, downBytes)) eroded[i] = above[i]!;
    return tileOfEtch(eroded, side, place.etchedSide);
  },
  open({ grainMm = 0 }, context, tile) {
    const { widthPx, etchedSide } = context;
    const erosion = erosionFor(context, grainMm * context.pxPerMm);
    const row = openOrdered(tile, widthPx);
    return erosion.alongRowPx > 0 ? erodeBits(row, widthPx, etchedSide === 'ink', erosion) : row;
  },
  achieved({ grainMm = 0 }, place, tile) {
    const { markPx, landPx, sidePx } = measureGrain(grainMm, place);
    return {
      grainMm,
      minDotMm: markPx / place.pxPerMm,
      minLandMm: landPx / place.pxPerMm,
      tilePx: sidePx,
      tones: new Set(tile.paperTones).size + 1,
    };
  },
});
