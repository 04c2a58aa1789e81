import * as z from 'zod';
import { defineScreen } from '../../../src/core/screens/contract.ts';
import { periodPx, rulingFor, rulingLpi } from '../../../src/core/screens/ruling.ts';
import { layTile, openTiled, type RepeatedTile } from '../../../src/core/screens/tiled.ts';

const TILE_PX = 32;

/** Limits of tone for one line: rows fill from the middle outwards, each pixel by pixel. */
function rungTile(periodPx: number): RepeatedTile {
  const rows = Math.max(2, Math.round(periodPx));
  const fromMiddle = Array.from({ length: rows }, (_, y) => y).sort(
    (a, b) => Math.abs(a - rows / 2) - Math.abs(b - rows / 2) || a - b,
  );
  const paperTones = new Uint16Array(rows * TILE_PX);
  for (const [rank, y] of fromMiddle.entries())
    for (let x = 0; x < TILE_PX; x++)
      // 13 has no factor in common with 32, so every place in the row has its turn
      paperTones[y * TILE_PX + ((x * 13) % TILE_PX)] = ((rank * TILE_PX + x) * 65535) / paperTones.length;
  return layTile({ widthPx: TILE_PX, heightPx: rows, shiftPx: 0 }, paperTones);
}

/** Level lines that swell with the tone. */
export const rungs = defineScreen({
  kind: 'rungs',
  summary: 'level lines that swell with the tone',
  params: z.strictObject({ rulingLpi }), // a setting that two screens share is one setting
  leadInRows: 0, // rows do not depend on each other
  compensates: 'curve',
  packs: 'repeats',
  forLineArt: false,
  tones: () => null,
  settle: (params, place) => ({ ...params, rulingLpi: rulingFor(params.rulingLpi, place) }),
  build: ({ rulingLpi: asked }, place) => rungTile(periodPx(rulingFor(asked, place), place)),
  open: (_, { widthPx }, tile) => openTiled(tile, widthPx),
});
