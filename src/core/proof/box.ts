import { countWord } from '../bitmap.ts';
import { type FewRows, openFewRows } from './few-rows.ts';
import { remembered, rememberedIn, type ShareRows } from './rows.ts';

/** Width and height of a plane of rows. */
export interface PlaneSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Which pixels one side of a reduced pixel lies on, and how much of the first and the last of them. */
interface Cuts {
  readonly first: Int32Array;
  readonly last: Int32Array;
  readonly firstShare: Float64Array;
  readonly lastShare: Float64Array;
}

function cutsOf(from: number, to: number): Cuts {
  const first = new Int32Array(to);
  const last = new Int32Array(to);
  const firstShare = new Float64Array(to);
  const lastShare = new Float64Array(to);
  for (let i = 0; i < to; i++) {
    const start = (i * from) / to;
    const end = ((i + 1) * from) / to;
    first[i] = Math.floor(start);
    last[i] = Math.max(first[i]!, Math.min(Math.ceil(from), Math.ceil(end)) - 1);
    firstShare[i] = first[i] === last[i] ? end - start : first[i]! + 1 - start;
    lastShare[i] = first[i] === last[i] ? 0 : end - last[i]!;
  }
  return { first, last, firstShare, lastShare };
}

/**
 * The same plane in other pixels: each is the mean of the area under it, a pixel it covers in part counting in
 * part. Finer pixels than before are allowed and cut the old ones up. `from` may end within a pixel, which then is
 * the mean of the part that is there. `plain` does without WebAssembly: the same to the last bit.
 */
export function resized(rows: ShareRows, from: PlaneSize, to: PlaneSize, plain = false): ShareRows {
  const across = cutsOf(from.widthPx, to.widthPx);
  const few = fewOf(across);
  const width = Math.ceil(from.widthPx);
  const vectors = few === null || plain ? null : openFewRows(width, across.first, few, perAreaOf(from, to));
  if (vectors !== null) {
    const summed: ShareRows = (y, into) => {
      rows(y, vectors.source);
      vectors.sumAcross(into);
    };
    return meansOf(summed, from, to, vectors);
  }
  // the last reduced pixel of few looks two pixels further, where nothing is
  const source = new Float32Array(width + 2);
  const row = source.subarray(0, width);
  const summed: ShareRows = (y, into) => {
    rows(y, row);
    if (few === null) sumAcross(row, across, into);
    else sumFew(source, across.first, few, into);
  };
  return meansOf(summed, from, to);
}

/** Packed rows of bits, the most significant bit leftmost. */
export interface PackedRows {
  /** Holds the row that was asked for last. */
  readonly data: Uint8Array;
  /** Byte of `data` that row `y` begins at. */
  at(y: number): number;
}

/** As `resized`, of a plane of bits; `turned` 0xff takes zeros for ones. Bits are counted by the byte: a tenth of the time of shares. */
export function resizedBits(rows: PackedRows, turned: 0 | 0xff, from: PlaneSize, to: PlaneSize): ShareRows {
  const across = cutsOf(from.widthPx, to.widthPx);
  const before = new Uint32Array((from.widthPx + 7) >>> 3);
  const summed: ShareRows = (y, into) => {
    const at = rows.at(y);
    countBefore(rows.data, at, turned, before);
    sumBits(rows.data, at, turned, before, across, into);
  };
  return meansOf(summed, from, to);
}

const perAreaOf = (from: PlaneSize, to: PlaneSize): number =>
  (to.widthPx / from.widthPx) * (to.heightPx / from.heightPx);

/** Means of areas, of rows that are summed across already; in the room of `vectors` and by them where there are any. */
function meansOf(rows: ShareRows, from: PlaneSize, to: PlaneSize, vectors: FewRows | null = null): ShareRows {
  const down = cutsOf(from.heightPx, to.heightPx);
  const perArea = perAreaOf(from, to);
  // a row that two reduced rows share is the last of one and the first of the next; few rows are laid together in one go
  const summed = vectors === null ? remembered(rows, to.widthPx, 3) : rememberedIn(rows, vectors.summed);
  const sums = new Float64Array(to.widthPx);
  return (y, into) => {
    const first = down.first[y]!;
    const last = down.last[y]!;
    const count = last - first + 1;
    if (count === 2 || count === 3) {
      const head = summed(first);
      const middle = count === 3 ? summed(first + 1) : null;
      const tail = summed(last);
      const headShare = down.firstShare[y]!;
      const tailShare = down.lastShare[y]!;
      if (vectors === null) meansOfFew(head, middle, tail, headShare, tailShare, perArea, into);
      else vectors.means(head, middle, tail, headShare, tailShare, into);
      return;
    }
    sums.fill(0);
    addShare(sums, summed(first), down.firstShare[y]!);
    for (let row = first + 1; row < last; row++) addShare(sums, summed(row), 1);
    if (last > first) addShare(sums, summed(last), down.lastShare[y]!);
    toMeans(sums, perArea, into);
  };
}

/** Two or three rows in one go, added in the same order as any number of them. */
function meansOfFew(
  head: Float32Array,
  middle: Float32Array | null,
  tail: Float32Array,
  headShare: number,
  tailShare: number,
  perArea: number,
  into: Float32Array,
): void {
  if (middle === null) {
    for (let x = 0; x < into.length; x++) {
      const mean = (headShare * head[x]! + tailShare * tail[x]!) * perArea;
      into[x] = mean < 1 ? mean : 1;
    }
    return;
  }
  for (let x = 0; x < into.length; x++) {
    const mean = (headShare * head[x]! + middle[x]! + tailShare * tail[x]!) * perArea;
    into[x] = mean < 1 ? mean : 1;
  }
}

function addShare(sums: Float64Array, values: Float32Array, share: number): void {
  for (let x = 0; x < sums.length; x++) sums[x] = sums[x]! + share * values[x]!;
}

function toMeans(sums: Float64Array, perArea: number, into: Float32Array): void {
  for (let x = 0; x < sums.length; x++) {
    const mean = sums[x]! * perArea;
    into[x] = mean < 1 ? mean : 1;
  }
}

/**
 * Where no reduced pixel lies on more than three: how much each of the three from its first on counts, the outer two before the one
 * between; else null.
 */
function fewOf({ first, last, firstShare, lastShare }: Cuts): Float64Array | null {
  const shares = new Float64Array(3 * first.length);
  for (let i = 0; i < first.length; i++) {
    const more = last[i]! - first[i]!;
    if (more > 2) return null;
    shares[3 * i] = firstShare[i]!;
    shares[3 * i + 1] = more === 2 ? lastShare[i]! : 0;
    shares[3 * i + 2] = more === 2 ? 1 : lastShare[i]!;
  }
  return shares;
}

/** As `sumAcross`, to the same bits, without asking how many there are: what does not count is added as 0. */
function sumFew(row: Float32Array, first: Int32Array, shares: Float64Array, into: Float32Array): void {
  for (let i = 0, k = 0; i < into.length; i++, k += 3) {
    const from = first[i]!;
    into[i] = row[from]! * shares[k]! + row[from + 2]! * shares[k + 1]! + row[from + 1]! * shares[k + 2]!;
  }
}

function sumAcross(
  row: Float32Array,
  { first, last, firstShare, lastShare }: Cuts,
  into: Float32Array,
): void {
  for (let i = 0; i < into.length; i++) {
    const from = first[i]!;
    const to = last[i]!;
    let sum = row[from]! * firstShare[i]! + row[to]! * lastShare[i]!;
    for (let x = from + 1; x < to; x++) sum += row[x]!;
    into[i] = sum;
  }
}

const ONES = Uint8Array.from({ length: 256 }, (_, byte) => countWord(byte));

/** For each byte of a row, the ones before it. */
function countBefore(data: Uint8Array, at: number, turned: number, before: Uint32Array): void {
  let ones = 0;
  for (let i = 0; i < before.length; i++) {
    before[i] = ones;
    ones += ONES[data[at + i]! ^ turned]!;
  }
}

function sumBits(
  data: Uint8Array,
  at: number,
  turned: number,
  before: Uint32Array,
  { first, last, firstShare, lastShare }: Cuts,
  into: Float32Array,
): void {
  for (let i = 0; i < into.length; i++) {
    const from = first[i]!;
    const to = last[i]!;
    const head = data[at + (from >> 3)]! ^ turned;
    const tail = data[at + (to >> 3)]! ^ turned;
    const headBit = (head >> (7 - (from & 7))) & 1;
    const tailBit = (tail >> (7 - (to & 7))) & 1;
    const sum = headBit * firstShare[i]! + tailBit * lastShare[i]!;
    if (to === from) {
      into[i] = sum;
      continue;
    }
    // the whole pixels in between: all before the last, without the first and those before it
    const toLast = before[to >> 3]! + ONES[tail >> (8 - (to & 7))]!;
    const toFirst = before[from >> 3]! + ONES[head >> (8 - (from & 7))]! + headBit;
    into[i] = sum + (toLast - toFirst);
  }
}
