import type { PictureLoops } from './loops.ts';
import type { Tile } from './tiles.ts';

/**
 * How much of a two-level picture consists of specks, of ink or of paper: pixels that are part of no run of three in any
 * of the four directions, or that lie as on a chequerboard. Against the rarer of the two sides; 0 where one side
 * is missing. Dithered pictures have many, drawings few: a slanting hairline is a run along its slant.
 */
export function speckShare(tiles: readonly Tile[], loops: PictureLoops): number {
  const { specks, alike } = loops.specks(tiles);
  const all = tiles.reduce((sum, { tone }) => sum + tone.length, 0);
  const rarer = Math.min(alike, all - alike);
  return rarer === 0 ? 0 : specks / rarer;
}
