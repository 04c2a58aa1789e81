import { openWasm, type WasmMemory } from '../wasm/open.ts';
import { BINS, LEAST_TONE, MOST_TONE, REACH_PX } from './judging.ts';
import type { Judged, SharesLoops } from './loops.ts';
import {
  COUNT_TABLES,
  COUNTS_AT,
  FLAT_TABLE,
  FLAT_TABLES,
  FLATS_AT,
  HIGHS_AT,
  JUDGED_AT,
  LOWS_AT,
  TABLE,
  THERE_AT,
  TILE_AT,
  TONE_SUMS_AT,
} from './memory.ts';
import { sharesKernels } from './shares-text.ts';
import type { Tile } from './tiles.ts';

/** Pixels that are judged in one step, with those between them; pixels that are counted in one. */
const STEP_PX = 16;
const COUNT_PX = 8;

/** Tables are by the first byte of a tone as it lies, whose sign makes the upper half come first. */
const byteOf = (bin: number): number => bin ^ (BINS / 2);

/** `plainShares` by vectors, to the same counts. Null where the engine cannot. */
export function openSharesWasm(
  room: number,
): { readonly shares: SharesLoops; readonly memory: WasmMemory } | null {
  const opened = openWasm(sharesKernels, room);
  if (opened === null) return null;
  const { buffer } = opened;
  const { histogram, judge } = opened.run;
  const words = new Int16Array(buffer);

  /** Sums of tables of the first so many of their counts. */
  const countsOf = (at: number, tables: number, tableBytes: number): Int32Array => {
    const counts = new Int32Array(BINS);
    for (let table = 0; table < tables; table++) {
      const some = new Int32Array(buffer, at + table * tableBytes, BINS);
      for (let bin = 0; bin < BINS; bin++) counts[bin]! += some[byteOf(bin)]!;
    }
    return counts;
  };

  /** Lays a tile down with its first and last row three times more, and its last column as often as steps want: least and most are the same. */
  const lay = ({ widthPx, heightPx, tone }: Tile, pitchPx: number): void => {
    const first = TILE_AT / 2 + REACH_PX * pitchPx;
    const end = first + heightPx * pitchPx;
    if (pitchPx === widthPx) words.set(tone, first);
    else
      for (let y = 0; y < heightPx; y++) {
        const to = first + y * pitchPx;
        words.set(tone.subarray(y * widthPx, (y + 1) * widthPx), to);
        words.fill(words[to + widthPx - 1]!, to + widthPx, to + pitchPx);
      }
    for (let i = 1; i <= REACH_PX; i++) {
      words.copyWithin(first - i * pitchPx, first, first + pitchPx);
      words.copyWithin(end + (i - 1) * pitchPx, end - pitchPx, end);
    }
  };

  const shares: SharesLoops = {
    histogram(tiles) {
      new Int32Array(buffer, COUNTS_AT, (COUNT_TABLES * TABLE) / 4).fill(0);
      const counted = new Int32Array(BINS);
      for (const { tone } of tiles) {
        const whole = tone.length - (tone.length % COUNT_PX);
        words.set(tone, TILE_AT / 2);
        if (whole > 0) histogram(TILE_AT, TILE_AT + 2 * whole);
        for (let i = whole; i < tone.length; i++) counted[byteOf((tone[i]! >> 8) & 255)]! += 1;
      }
      const counts = countsOf(COUNTS_AT, COUNT_TABLES, TABLE);
      return counts.map((count, bin) => count + counted[bin]!);
    },
    judge(tiles, paper, solid): Judged {
      new Int32Array(buffer, FLATS_AT, (THERE_AT - FLATS_AT) / 4).fill(0);
      for (const tile of tiles) {
        const { widthPx, heightPx } = tile;
        const pitchPx = Math.ceil(widthPx / STEP_PX) * STEP_PX;
        lay(tile, pitchPx);
        const judged = (widthPx + 1) >> 1;
        words.fill(-1, THERE_AT / 2, THERE_AT / 2 + judged);
        words.fill(0, THERE_AT / 2 + judged, THERE_AT / 2 + pitchPx / 2);
        // beside the columns that there are none counts
        words.fill(MOST_TONE, LOWS_AT / 2, HIGHS_AT / 2);
        words.fill(LEAST_TONE, HIGHS_AT / 2, TONE_SUMS_AT / 2);
        const pitch = 2 * pitchPx;
        const at = TILE_AT + REACH_PX * pitch;
        judge(at, at + heightPx * pitch, pitch, paper - BINS / 2, solid - BINS / 2);
      }
      const sums = new Int32Array(buffer, JUDGED_AT, 12);
      const sumOf = (i: number): number =>
        sums.subarray(4 * i, 4 * i + 4).reduce((sum, part) => sum + part, 0);
      return {
        mid: sumOf(0),
        flat: sumOf(1),
        ramp: sumOf(2),
        flatTones: countsOf(FLATS_AT, FLAT_TABLES, FLAT_TABLE),
      };
    },
  };
  return { shares, memory: opened.memory };
}
