import { openWasm, type WasmMemory } from '../wasm/open.ts';
import type { Specks } from './loops.ts';
import { INSIDE_AT, SPECKS_AT, TILE_AT } from './memory.ts';
import { SPECK_PX } from './specks-plain.ts';
import { specksKernels } from './specks-text.ts';
import { TILE_PX, type Tile } from './tiles.ts';

/** Pixels that are looked at in one step. */
const STEP_PX = 8;
/** Room in front of a tile, for what lies two rows before its first. */
const BEFORE_PX = STEP_PX;

/** `plainSpecks` by vectors, to the same counts. Null where the engine cannot. */
export function specksByWasm(tiles: readonly Tile[], memory: WasmMemory): Specks | null {
  const opened = openWasm(specksKernels, memory);
  if (opened === null) return null;
  const { buffer } = opened;
  const { specks, alike } = opened.run;
  const tones = new Int16Array(buffer, TILE_AT, BEFORE_PX + TILE_PX * TILE_PX);
  const inside = new Int16Array(buffer, INSIDE_AT, TILE_PX);
  const counts = new Int32Array(buffer, SPECKS_AT, 4);
  const counted = (): number => counts.reduce((sum, count) => sum + count, 0);
  const level = tiles[0]?.tone[0] ?? 0;
  const from = TILE_AT + 2 * BEFORE_PX;
  let sums: Specks = { specks: 0, alike: 0 };
  for (const { widthPx, heightPx, tone } of tiles) {
    tones.set(tone, BEFORE_PX);
    let same = 0;
    const whole = tone.length - (tone.length % STEP_PX);
    for (let i = whole; i < tone.length; i++) if (tone[i] === level) same++;
    if (whole > 0) {
      alike(from, from + 2 * whole, level);
      same += counted();
    }
    let found = 0;
    if (Math.min(widthPx, heightPx) > 2 * SPECK_PX) {
      inside.fill(0).fill(-1, SPECK_PX, widthPx - SPECK_PX);
      const pitch = 2 * widthPx;
      const at = from - 2 * SPECK_PX;
      specks(at + SPECK_PX * pitch, at + (heightPx - SPECK_PX) * pitch, pitch);
      found = counted();
    }
    sums = { specks: sums.specks + found, alike: sums.alike + same };
  }
  return sums;
}
