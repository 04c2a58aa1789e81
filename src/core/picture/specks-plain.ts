import type { Specks } from './loops.ts';
import type { Tile } from './tiles.ts';

/** Runs up to this long, in every direction, make a speck. */
export const SPECK_PX = 2;

/** For engines without WebAssembly, and what that is held to. */
export function plainSpecks(tiles: readonly Tile[]): Specks {
  let [specks, alike] = [0, 0];
  const level = tiles[0]?.tone[0];
  for (const { widthPx, heightPx, tone } of tiles) {
    const steps = [1, widthPx, widthPx + 1, widthPx - 1];
    for (let i = 0; i < tone.length; i++) if (tone[i] === level) alike++;
    for (let y = SPECK_PX; y < heightPx - SPECK_PX; y++)
      for (let x = SPECK_PX; x < widthPx - SPECK_PX; x++) if (isSpeck(tone, y * widthPx + x, steps)) specks++;
  }
  return { specks, alike };
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
