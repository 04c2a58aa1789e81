import { openWasm } from '../wasm/open.ts';
import {
  ACROSS_AT,
  ACROSS_TURNS_AT,
  BYTES,
  DOWN_AT,
  DOWN_TURNS_AT,
  kernels,
  MEAN_AT,
  PITCH,
  PLACES_AT,
  POWER_AT,
  ROW,
  SCALE_AT,
  SQUARE_AT,
  SUMS_AT,
  TIMES_AT,
  TONE_AT,
} from './spectrum-text.ts';
import { TILE_PX, type Tile } from './tiles.ts';
import { hann, type Measured, type SpectrumLoops } from './windowed.ts';

/** Steps of four numbers begin so far apart, and a step of two follows: 512 = 4 · 4 · 4 · 4 · 2. */
const STEPS = [128, 32, 8, 2];
/** Bytes of columns that are transformed together: the places of so many fit in the processor's second cache. */
const STRIP_BYTES = 128;
const HALF = TILE_PX / 2;

/** Where frequency k comes out: steps take its digits from the lowest on. */
const placeOf = (k: number): number =>
  ((k & 3) << 7) | (((k >> 2) & 3) << 5) | (((k >> 4) & 3) << 3) | (((k >> 6) & 3) << 1) | ((k >> 8) & 1);

/** The last step of rows keeps two sums together, then two rests: bytes from the row's beginning. */
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
  const numbers = new Float64Array(buffer, 0, SQUARE_AT / 8);
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
  const places = new Uint16Array(buffer, PLACES_AT, 2 * TILE_PX);
  for (let i = 0; i < TILE_PX; i++) {
    places[2 * i] = sideOf((i - HALF) & (TILE_PX - 1));
    places[2 * i + 1] = sideOf((HALF - i) & (TILE_PX - 1));
  }
}

/**
 * `openPlainSpectrum` by vectors, to the last bits of its numbers. Numbers are left where the steps put them until all is added up (Gentleman & Sande, Proc. AFIPS 29,
 * 1966, 563–578), so nothing is turned over. Null where the engine cannot.
 */
export function openSpectrumWasm(of: Tile): SpectrumLoops | null {
  const opened = openWasm(kernels, BYTES);
  if (opened === null) return null;
  const { buffer } = opened;
  const { sums, lay, columns, pairs, row, gather } = opened.run;
  const { widthPx, heightPx } = of;
  const tones = new Int16Array(buffer, TONE_AT);
  const sumOfTones = new Int32Array(buffer, SUMS_AT, 4);
  const sumOfSquares = new Uint32Array(buffer, SUMS_AT + 16, 4);
  const times = new Float64Array(buffer, TIMES_AT, 1);
  const mean = new Float64Array(buffer, MEAN_AT, 1);
  const square = new Float64Array(buffer, SQUARE_AT, (PITCH * TILE_PX) / 8);
  let isLaid = false;
  let isClear = true;

  const layTile = (one: Measured, into: number): void => {
    tones.set(one.tile.tone);
    mean[0] = one.mean;
    lay(TONE_AT, TONE_AT + 2 * widthPx * heightPx, 2 * widthPx, into);
  };

  const transformColumns = (): void => {
    for (let left = 0; left < 8 * widthPx; left += STRIP_BYTES) {
      const at = SQUARE_AT + left;
      for (const step of STEPS) columns(at, STRIP_BYTES, step * PITCH, (48 * STEPS[0]!) / step);
      pairs(at, STRIP_BYTES);
    }
  };

  return {
    sums({ tone }) {
      tones.set(tone);
      tones.fill(0, tone.length, tone.length + 8);
      sums(TONE_AT, TONE_AT + 2 * tone.length);
      const [a, b, c, d] = sumOfTones as unknown as [number, number, number, number];
      const [low, high, others, highOthers] = sumOfSquares as unknown as [number, number, number, number];
      return { sum: a + b + c + d, squares: low + others + (high + highOthers) * 2 ** 32 };
    },
    add(one, other) {
      if (!isLaid) layTables(buffer, of);
      isLaid = true;
      // tiles that do not fill the square, or one alone, leave parts of it as they are
      if (!isClear && (!other || widthPx < TILE_PX || heightPx < TILE_PX)) square.fill(0);
      isClear = false;
      layTile(one, SQUARE_AT);
      if (other) layTile(other, SQUARE_AT + ROW);
      transformColumns();
      for (let v = 0; v < TILE_PX; v++) {
        // of one tile row −v is row v turned about, which has no second one of the first and of the middle row
        if (!other && v > HALF) break;
        times[0] = other || v === 0 || v === HALF ? 1 : 2;
        const place = placeOf(v);
        row(SQUARE_AT + PITCH * place, POWER_AT + ROW * place);
      }
    },
    power(scale) {
      new Float64Array(buffer, SCALE_AT, 1)[0] = scale;
      for (let v = -HALF; v < HALF; v++)
        gather(
          POWER_AT + ROW * placeOf(v & (TILE_PX - 1)),
          POWER_AT + ROW * placeOf(-v & (TILE_PX - 1)),
          SQUARE_AT + ROW * (v + HALF),
        );
      return new Float64Array(buffer, SQUARE_AT, TILE_PX * TILE_PX);
    },
  };
}
