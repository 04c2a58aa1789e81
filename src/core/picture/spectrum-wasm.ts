import { openWasm, type WasmMemory } from '../wasm/open.ts';
import { hann, type Measured, type SpectrumLoops } from './loops.ts';
import {
  ACROSS_AT,
  ACROSS_TURNS_AT,
  DOWN_AT,
  DOWN_TURNS_AT,
  LINE_AT,
  MEAN_AT,
  PLACES_AT,
  POWER_AT,
  SCALE_AT,
  SQUARE_AT,
  SQUARE_GAP,
  TILE_AT,
  TONE_SUMS_AT,
} from './memory.ts';
import { at, mirrorRows, POWER_ROWS } from './peaks.ts';
import { spectrumKernels } from './spectrum-text.ts';
import { TILE_PX, type Tile } from './tiles.ts';
import { wavesKernels } from './waves-text.ts';
import { searchIn } from './waves-wasm.ts';

const kernels = { ...spectrumKernels, ...wavesKernels };

/** Steps of four numbers begin so far apart, and a step of two follows: 512 = 4 · 4 · 4 · 4 · 2. */
const STEPS = [128, 32, 8, 2];
/** Columns that are transformed together: the places of so many fit in the processor's nearer caches. */
const STRIP_PX = 16;
const HALF = TILE_PX / 2;

/** Where frequency k comes out: steps take its digits from the lowest on. */
const placeOf = (k: number): number =>
  ((k & 3) << 7) | (((k >> 2) & 3) << 5) | (((k >> 4) & 3) << 3) | (((k >> 6) & 3) << 1) | ((k >> 8) & 1);

/** The last step of lines keeps two sums together, then two rests: bytes from the line's beginning. */
const sideOf = (k: number): number => {
  const place = placeOf(k);
  return 8 * ((place & ~3) | ((place & 1) << 1) | ((place >> 1) & 1));
};

/** Cosine and sine of −1, −2 and −3 times k / n of a turn. */
function layTurns(k: number, n: number, into: Float64Array, at: number, apart: number): void {
  for (let i = 0; i < 3; i++) {
    const turn = (-2 * Math.PI * (i + 1) * k) / n;
    into[at + 2 * i * apart] = Math.cos(turn);
    into[at + (2 * i + 1) * apart] = Math.sin(turn);
  }
}

function layTables(buffer: ArrayBuffer, { widthPx, heightPx }: Tile): void {
  const numbers = new Float64Array(buffer, 0, TILE_AT / 8);
  numbers.fill(0, ACROSS_AT / 8, DOWN_TURNS_AT / 8);
  numbers.set(hann(widthPx), ACROSS_AT / 8);
  numbers.set(hann(heightPx), DOWN_AT / 8);
  const down = DOWN_TURNS_AT / 8;
  for (let k = 0; k < STEPS[0]!; k++) layTurns(k, TILE_PX, numbers, down + 6 * k, 1);
  // those of later steps are among them; pairs of neighbours lie side by side
  let across = ACROSS_TURNS_AT / 8;
  for (const step of STEPS) {
    const skip = (6 * STEPS[0]!) / step;
    for (let k = 0; k < step; k++) {
      const to = across + 12 * (k >> 1) + (k & 1);
      for (let i = 0; i < 6; i++) numbers[to + 2 * i] = numbers[down + k * skip + i]!;
    }
    across += 6 * step;
  }
  const places = new Uint16Array(buffer, PLACES_AT, TILE_PX);
  for (let i = 0; i < TILE_PX; i++) places[i] = sideOf((i - HALF) & (TILE_PX - 1));
}

/** The latter columns of a tile go as the imaginary parts of the former ones, so many of each. */
const formerPx = (widthPx: number): number => Math.ceil(widthPx / (2 * STRIP_PX)) * STRIP_PX;

/**
 * `openPlainSpectrum` by vectors, to the last bits of its numbers. Numbers are left where the steps put them until all is added up (Gentleman & Sande, Proc. AFIPS 29,
 * 1966, 563–578), so nothing is turned over. Null where the engine cannot.
 */
export function openSpectrumWasm(of: Tile, memory: WasmMemory): SpectrumLoops | null {
  const opened = openWasm(kernels, memory);
  if (opened === null) return null;
  const { buffer } = opened;
  const { sums, lay, columns, pairs, part, line, add } = opened.run;
  const { widthPx, heightPx } = of;
  const tones = new Int16Array(buffer, TILE_AT, TILE_PX * TILE_PX + 8);
  const former = formerPx(widthPx);
  const apart = 8 * former;
  const pitch = 2 * apart + SQUARE_GAP;
  const square = new Float64Array(buffer, SQUARE_AT, (pitch * TILE_PX) / 8);
  const lines = [0, TILE_PX].map((from) =>
    new Float64Array(buffer, LINE_AT + 8 * from, TILE_PX).subarray(2 * former),
  );
  const isWhole = 2 * former === TILE_PX && heightPx === TILE_PX;

  const transformColumns = (): void => {
    for (let left = 0; left < former; left += STRIP_PX) {
      const from = SQUARE_AT + 8 * left;
      for (const step of STEPS)
        columns(from, 8 * STRIP_PX, apart, pitch, step * pitch, (48 * STEPS[0]!) / step);
      for (const strip of [from, from + apart]) pairs(strip, strip + pitch * TILE_PX, 8 * STRIP_PX, pitch);
    }
  };

  const addTile = ({ tile, mean }: Measured): void => {
    tones.set(tile.tone);
    new Float64Array(buffer, MEAN_AT, 1)[0] = mean;
    lay(TILE_AT, TILE_AT + 2 * tile.tone.length, 2 * widthPx, SQUARE_AT, pitch);
    transformColumns();
    for (let v = 0; v <= HALF; v++) {
      const other = placeOf(-v & (TILE_PX - 1));
      part(SQUARE_AT + pitch * placeOf(v), SQUARE_AT + pitch * other, apart);
      for (const rest of lines) rest.fill(0);
      line();
      add(POWER_AT + 8 * at(-HALF, v));
    }
  };

  return {
    sums({ tone }) {
      tones.set(tone);
      tones.fill(0, tone.length, tone.length + 8);
      sums(TILE_AT, TILE_AT + 2 * tone.length);
      const [a, b, c, d] = new Int32Array(buffer, TONE_SUMS_AT, 4) as unknown as [
        number,
        number,
        number,
        number,
      ];
      const [low, high, others, highOthers] = new Uint32Array(buffer, TONE_SUMS_AT + 16, 4) as unknown as [
        number,
        number,
        number,
        number,
      ];
      return { sum: a + b + c + d, squares: low + others + (high + highOthers) * 2 ** 32 };
    },
    power(tiles, scale) {
      layTables(buffer, of);
      // columns come out of `part` twice as large, and squares four times
      new Float64Array(buffer, SCALE_AT, 1)[0] = scale / 2;
      const power = new Float64Array(buffer, POWER_AT, POWER_ROWS * TILE_PX).fill(0);
      for (const tile of tiles) {
        if (!isWhole) square.fill(0);
        addTile(tile);
      }
      mirrorRows(power);
      return { power, ...searchIn(buffer, opened.run) };
    },
  };
}
