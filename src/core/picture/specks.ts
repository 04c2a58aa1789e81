import type { Tile } from './tiles.ts';

/** Runs up to this long, in every direction, make a speck. */
const SPECK_PX = 2;

/**
 * How much of a two-level picture consists of specks, of ink or of paper: pixels that are part of no run of three in any
 * of the four directions, or that lie as on a chequerboard. Against the rarer of the two sides; 0 where one side
 * is missing. Dithered pictures have many, drawings few: a slanting hairline is a run along its slant.
 */
export function speckShare(tiles: readonly Tile[]): number {
  let [specks, ink, all] = [0, 0, 0];
  const level = darkest(tiles);
  for (const { widthPx, heightPx, tone } of tiles) {
    const steps = [1, widthPx, widthPx + 1, widthPx - 1];
    for (let i = 0; i < tone.length; i++) if (tone[i] === level) ink++;
    all += tone.length;
    for (let y = SPECK_PX; y < heightPx - SPECK_PX; y++)
      for (let x = SPECK_PX; x < widthPx - SPECK_PX; x++) if (isSpeck(tone, y * widthPx + x, steps)) specks++;
  }
  const rarer = Math.min(ink, all - ink);
  return rarer === 0 ? 0 : specks / rarer;
}

function isSpeck(tone: Int16Array, at: number, steps: readonly number[]): boolean {
  const here = tone[at]!;
  const [across, down, falling, rising] = steps as [number, number, number, number];
  const lone =
    tone[at - across] !== here &&
    tone[at + across] !== here &&
    tone[at - down] !== here &&
    tone[at + down] !== here;
  const diagonals =
    tone[at - falling] === here &&
    tone[at + falling] === here &&
    tone[at - rising] === here &&
    tone[at + rising] === here;
  if (lone && diagonals) return true;
  for (const step of steps) {
    let run = 1;
    if (tone[at - step] === here) run += tone[at - 2 * step] === here ? 2 : 1;
    if (tone[at + step] === here) run += tone[at + 2 * step] === here ? 2 : 1;
    if (run > SPECK_PX) return false;
  }
  return true;
}

function darkest(tiles: readonly Tile[]): number {
  let level = Number.NEGATIVE_INFINITY;
  for (const { tone } of tiles) for (let i = 0; i < tone.length; i++) if (tone[i]! > level) level = tone[i]!;
  return level;
}
