import * as z from 'zod';
import { defineScreen } from './contract.ts';
import { openOrdered, type ThresholdTile, tileOfEtch } from './ordered.ts';
import { seed } from './seed.ts';
import { voidAndCluster } from './void-and-cluster.ts';

/** Side of the tile; it draws its square plus one tones. */
const SIDE_PX = 128;

/** Single pixels as evenly spread as they can be without falling into rows. */
export const bluenoise = defineScreen({
  kind: 'bluenoise',
  summary: 'single pixels spread evenly and without rows; fast, for a spot no wider than a pixel',
  params: z.strictObject({ seed }),
  leadInRows: 0,
  compensates: 'curve',
  packs: 'repeats',
  forLineArt: false,
  tones: () => SIDE_PX * SIDE_PX + 1,
  frame: () => ({ repeatPx: { x: SIDE_PX, y: SIDE_PX } }),
  build({ seed }, { plate, etchedSide }): ThresholdTile {
    const places = voidAndCluster(SIDE_PX, seed, plate);
    const thresholds = Float64Array.from(places, (place) => (place + 0.5) / places.length);
    return tileOfEtch(thresholds, SIDE_PX, etchedSide);
  },
  open: (_params, { widthPx }, tile) => openOrdered(tile, widthPx),
});
