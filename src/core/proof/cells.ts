import type { Bitmap } from '../bitmap.ts';
import { reachOf, type SpotShape } from '../spot/regions.ts';
import { openEtchedRow } from '../spot/rows.ts';
import { lastWordMask, readRowWords, wordsFor } from '../spot/words.ts';
import type { PlaneSize } from './box.ts';
import type { ShareRows } from './rows.ts';

/** Where in a pixel it is asked whether the beam reaches: on a turned square, so that no two lie in one row or column. */
const PLACES = [
  [-0.375, -0.125],
  [0.125, -0.375],
  [0.375, 0.125],
  [-0.125, 0.375],
] as const;

/** Cells of two by two pixels: sixteen pixels lie in a word. */
const SIDE = 2;

export interface Cells extends PlaneSize {
  readonly rows: ShareRows;
}

/** Pixels of row dy that reach a place: those from `from` to `to` to its right. */
interface Run {
  readonly dy: number;
  readonly from: number;
  readonly to: number;
}

/**
 * The neighbours whose marks reach a place: the nearest, as many as make the area of a mark right over all four
 * places, which a plain distance would miss by a twentieth. A run for each row that has any.
 */
function runsFor({ spotPx, beam }: SpotShape, [px, py]: readonly [number, number], index: number): Run[] {
  const radius = spotPx / 2;
  const sweepPx = beam === 'sweep' ? 1 : 0;
  const areaPx = Math.PI * radius * radius + spotPx * sweepPx;
  const count = Math.floor((Math.round(PLACES.length * areaPx) + index) / PLACES.length);
  const reach = Math.ceil(radius + 1);
  const side = Array.from({ length: 2 * reach + 1 }, (_, i) => i - reach);
  const far = (dx: number, dy: number): number =>
    Math.hypot(Math.max(0, Math.abs(dx - px) - sweepPx / 2), dy - py);
  const nearest = side
    .flatMap((dy) => side.map((dx) => ({ dx, dy, far: far(dx, dy) })))
    .sort((a, b) => a.far - b.far)
    .slice(0, count);
  return side.flatMap((dy) => {
    const dxs = nearest.filter((near) => near.dy === dy).map(({ dx }) => dx);
    return dxs.length === 0 ? [] : [{ dy, from: Math.min(...dxs), to: Math.max(...dxs) }];
  });
}

/** Ors the row, moved by every step of a run, into `into`. */
function orRun(row: Int32Array, { from, to }: Run, words: number, into: Int32Array): void {
  for (let w = 1; w <= words; w++) {
    const [before, here, after] = [row[w - 1]!, row[w]!, row[w + 1]!];
    if ((before | here | after) === 0) continue;
    let all = into[w]!;
    for (let dx = from; dx <= to; dx++) {
      if (dx === 0) all |= here;
      else if (dx > 0) all |= (here << dx) | (after >>> (32 - dx));
      else all |= (here >>> -dx) | (before << (32 + dx));
    }
    into[w] = all;
  }
}

/**
 * Etched shares of a plate in cells of two by two pixels, for plates much finer than their proof. A beam wider than three pixels
 * is looked at in four places of each pixel, words of 32 pixels at a time: a sixteenth of a cell is the finest step. Null
 * leaves the pixels as they are. Cells beyond the plate's last pixel count what is there.
 */
export function openCells(map: Bitmap, shape: SpotShape | null): Cells {
  return shape !== null && Math.max(...Object.values(reachOf(shape))) <= 1
    ? exactCells(map, shape)
    : sampledCells(map, shape);
}

/** Marks that reach no farther than the next pixel have a table that is exact and as fast. */
function exactCells(map: Bitmap, shape: SpotShape): Cells {
  const etched = openEtchedRow(shape);
  const [upper, lower] = [new Float32Array(map.widthPx), new Float32Array(map.widthPx)];
  const rows: ShareRows = (y, into) => {
    const odd = y * SIDE + 1 >= map.heightPx;
    etched(map, y * SIDE, upper);
    if (odd) lower.set(upper);
    else etched(map, y * SIDE + 1, lower);
    const pairs = map.widthPx >> 1;
    for (let x = 0, at = 0; x < pairs; x++, at += 2)
      into[x] = (upper[at]! + upper[at + 1]! + lower[at]! + lower[at + 1]!) / 4;
    if (pairs < into.length) into[pairs] = (upper[2 * pairs]! + lower[2 * pairs]!) / 2;
  };
  return { ...cellsOf(map), rows };
}

const cellsOf = ({ widthPx, heightPx }: PlaneSize): PlaneSize => ({
  widthPx: Math.ceil(widthPx / SIDE),
  heightPx: Math.ceil(heightPx / SIDE),
});

function sampledCells(map: Bitmap, shape: SpotShape | null): Cells {
  const words = wordsFor(map.widthPx);
  const places = shape === null ? null : PLACES.map((place, i) => runsFor(shape, place, i));
  const reach =
    places === null ? 0 : Math.max(...places.flatMap((runs) => runs.map(({ dy }) => Math.abs(dy))));
  const kept = Array.from({ length: 2 * reach + 2 }, () => new Int32Array(words + 2));
  const holds = new Int32Array(kept.length).fill(-1000);
  const rowWords = (y: number): Int32Array => {
    const slot = ((y % kept.length) + kept.length) % kept.length;
    if (holds[slot] !== y) {
      readRowWords(map, y, kept[slot]!);
      holds[slot] = y;
    }
    return kept[slot]!;
  };
  const reached = new Int32Array(words + 2);
  const sums = [0, 1, 2, 3].map(() => new Int32Array(words + 2));
  const lastUsed = lastWordMask(map.widthPx);
  const rows: ShareRows = (y, into) => {
    for (const sum of sums) sum.fill(0);
    const last = Math.min(SIDE, map.heightPx - y * SIDE);
    for (let row = y * SIDE; row < y * SIDE + last; row++) {
      if (places === null) addPairs(rowWords(row), words, sums);
      else
        for (const runs of places) {
          reached.fill(0);
          for (const run of runs) orRun(rowWords(row + run.dy), run, words, reached);
          reached[words] = reached[words]! & lastUsed;
          addPairs(reached, words, sums);
        }
    }
    const perPx = places === null ? 1 : places.length;
    takeSums(sums, into, 1 / (SIDE * last * perPx));
    // the last column of an odd width has but one pixel
    if (map.widthPx & 1) into[into.length - 1] = into[into.length - 1]! * 2;
  };
  return { ...cellsOf(map), rows };
}

/** Adds the bits of every pair of pixels to its byte: pair p of a word to byte p >> 2 of `sums[p & 3]`, from the left. */
function addPairs(bits: Int32Array, words: number, [a, b, c, d]: readonly Int32Array[]): void {
  for (let w = 1; w <= words; w++) {
    const word = bits[w]!;
    if (word === 0) continue;
    const pairs = (word & 0x55555555) + ((word >>> 1) & 0x55555555);
    a![w] = a![w]! + ((pairs >>> 6) & 0x03030303);
    b![w] = b![w]! + ((pairs >>> 4) & 0x03030303);
    c![w] = c![w]! + ((pairs >>> 2) & 0x03030303);
    d![w] = d![w]! + (pairs & 0x03030303);
  }
}

function takeSums(sums: readonly Int32Array[], into: Float32Array, share: number): void {
  const [a, b, c, d] = sums as [Int32Array, Int32Array, Int32Array, Int32Array];
  for (let x = 0, w = 1; x < into.length; w++) {
    for (let shift = 24; shift >= 0 && x < into.length; shift -= 8) {
      into[x++] = ((a[w]! >>> shift) & 255) * share;
      if (x < into.length) into[x++] = ((b[w]! >>> shift) & 255) * share;
      if (x < into.length) into[x++] = ((c[w]! >>> shift) & 255) * share;
      if (x < into.length) into[x++] = ((d[w]! >>> shift) & 255) * share;
    }
  }
}
