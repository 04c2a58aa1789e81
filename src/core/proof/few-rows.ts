import type { WasmFunction } from '../wasm/assemble.ts';
import { openWasm } from '../wasm/open.ts';
import { FIRST_HALVES, LATTER_HALF } from '../wasm/shuffles.ts';

const FLOAT = Float32Array.BYTES_PER_ELEMENT;
const DOUBLE = Float64Array.BYTES_PER_ELEMENT;

/** One of the three pixels that a reduced one may lie on, by how much it counts. */
const counted = (pixel: number, share: number): string =>
  `local.get $from  f32.load offset=${FLOAT * pixel}  f64.promote_f32
   local.get $shares  f64.load offset=${DOUBLE * share}  f64.mul`;

/** Adds up pixels: where they begin is at `first` for each, how much they count at `shares`. Until `to` is at `end`. */
const across: WasmFunction = {
  params: ['first', 'shares', 'to', 'end'],
  i32: ['from'],
  v128: [],
  text: `
    loop
      local.get $first  i32.load  local.set $from
      local.get $to
      ${counted(0, 0)}  ${counted(2, 1)}  f64.add  ${counted(1, 2)}  f64.add
      f32.demote_f64  f32.store
      local.get $first  i32.const 4  i32.add  local.set $first
      local.get $shares  i32.const ${3 * DOUBLE}  i32.add  local.set $shares
      local.get $to  i32.const ${FLOAT}  i32.add  local.tee $to  local.get $end  i32.lt_u  br_if 0
    end`,
};

/** Two of four means: their pixels are the first two of each vector, or the last. */
const twoMeans = (latter: boolean): string => {
  const pixels = (row: string): string =>
    `local.get ${row} ${latter ? `local.get ${row} ${LATTER_HALF}` : ''} f64x2.promote_low_f32x4`;
  return `${pixels('$h')} local.get $headShare f64x2.mul  ${pixels('$m')} f64x2.add
    ${pixels('$t')} local.get $tailShare f64x2.mul  f64x2.add
    local.get $perArea  f64x2.mul  local.get $one  f64x2.min  f32x4.demote_f64x2_zero`;
};

/** Means of three rows from `head`, `middle` and `tail` on; `shares`: of head and tail, then per area, then 1. Until `to` is at `end`. */
const down: WasmFunction = {
  params: ['head', 'middle', 'tail', 'shares', 'to', 'end'],
  i32: [],
  v128: ['headShare', 'tailShare', 'perArea', 'one', 'h', 'm', 't'],
  text: `
    ${['headShare', 'tailShare', 'perArea', 'one']
      .map((name, i) => `local.get $shares  v128.load64_splat offset=${DOUBLE * i}  local.set $${name}`)
      .join('\n')}
    loop
      local.get $head  v128.load  local.set $h
      local.get $middle  v128.load  local.set $m
      local.get $tail  v128.load  local.set $t
      local.get $to  ${twoMeans(false)}  ${twoMeans(true)}
      ${FIRST_HALVES}  v128.store
      ${['head', 'middle', 'tail'].map((row) => `local.get $${row}  i32.const 16  i32.add  local.set $${row}`).join('\n')}
      local.get $to  i32.const 16  i32.add  local.tee $to  local.get $end  i32.lt_u  br_if 0
    end`,
};
const kernels = { across, down };

/** Rows of a plane that is reduced by so little that few of its pixels and rows go to one. */
export interface FewRows {
  /** A row to be reduced is written here. */
  readonly source: Float32Array;
  /** Rows that are summed across. */
  readonly summed: readonly Float32Array[];
  /** Sums `source` across, to one of `summed`. */
  sumAcross(into: Float32Array): void;
  /** Means of two or three of `summed`. */
  means(
    head: Float32Array,
    middle: Float32Array | null,
    tail: Float32Array,
    headShare: number,
    tailShare: number,
    into: Float32Array,
  ): void;
}

/**
 * Room and loops for rows of `width` pixels, of which three side by side, from each of `first` on, count by `shares`: the outer two before
 * the one between. Null where the engine has no vectors; the plain loops of `box` give the same to the last bit.
 */
export function openFewRows(
  width: number,
  first: Int32Array,
  shares: Float64Array,
  perArea: number,
): FewRows | null {
  const reduced = first.length;
  // by whole vectors, and where the last of few looks further there is room
  const rowBytes = (Math.ceil(reduced / 4) * 4 + 4) * FLOAT;
  const [factorsAt, sharesAt] = [0, 4 * DOUBLE];
  const firstAt = sharesAt + shares.byteLength;
  const rowsAt = (firstAt + first.byteLength + 15) & ~15;
  const [nothingAt, meansAt, sourceAt] = [3, 4, 5].map((i) => rowsAt + i * rowBytes) as [
    number,
    number,
    number,
  ];
  const opened = openWasm(kernels, sourceAt + (width + 2) * FLOAT);
  if (opened === null) return null;
  const { buffer, run } = opened;
  const factors = new Float64Array(buffer, factorsAt, 4);
  factors.set([0, 0, perArea, 1]);
  new Float64Array(buffer, sharesAt, shares.length).set(shares);
  new Int32Array(buffer, firstAt, reduced).set(first.map((pixel) => sourceAt + pixel * FLOAT));
  const rowAt = (at: number, length: number): Float32Array => new Float32Array(buffer, at, length);
  const means = rowAt(meansAt, reduced);
  const bytes = reduced * FLOAT;
  return {
    source: rowAt(sourceAt, width),
    summed: [0, 1, 2].map((i) => rowAt(rowsAt + i * rowBytes, reduced)),
    sumAcross({ byteOffset }) {
      run.across(firstAt, sharesAt, byteOffset, byteOffset + bytes);
    },
    means(head, middle, tail, headShare, tailShare, into) {
      factors[0] = headShare;
      factors[1] = tailShare;
      const middleAt = middle === null ? nothingAt : middle.byteOffset;
      run.down(head.byteOffset, middleAt, tail.byteOffset, factorsAt, meansAt, meansAt + bytes);
      into.set(means);
    },
  };
}
