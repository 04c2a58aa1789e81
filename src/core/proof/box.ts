import { remembered, type ShareRows } from './rows.ts';

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
 * the mean of the part that is there.
 */
export function resized(rows: ShareRows, from: PlaneSize, to: PlaneSize): ShareRows {
  const across = cutsOf(from.widthPx, to.widthPx);
  const down = cutsOf(from.heightPx, to.heightPx);
  const perArea = (to.widthPx / from.widthPx) * (to.heightPx / from.heightPx);
  const source = new Float32Array(Math.ceil(from.widthPx));
  // a row that two reduced rows share is the last of one and the first of the next
  const summed = remembered(
    (y, into) => {
      rows(y, source);
      sumAcross(source, across, into);
    },
    to.widthPx,
    1,
  );
  const sums = new Float64Array(to.widthPx);
  return (y, into) => {
    const first = down.first[y]!;
    const last = down.last[y]!;
    sums.fill(0);
    addShare(sums, summed(first), down.firstShare[y]!);
    for (let row = first + 1; row < last; row++) addShare(sums, summed(row), 1);
    if (last > first) addShare(sums, summed(last), down.lastShare[y]!);
    toMeans(sums, perArea, into);
  };
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
