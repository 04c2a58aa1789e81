import type { Bitmap } from '../bitmap.ts';
import type { WasmFunction } from '../wasm/assemble.ts';
import { openWasm } from '../wasm/open.ts';
import type { CellSums } from './cell-sums.ts';

/** Pixels along a side of a cell. */
const SIDE = 4;
/** Bytes of a row that are counted in one go. */
const STEP = 16;

const ROWS = ['$a', '$b', '$c', '$d'];

/** The ones in one half of each byte, of four rows together. */
const halves = (mask: number): string =>
  ROWS.map(
    (row, i) =>
      `local.get ${row}  v128.load  i32.const ${mask}  i32x4.splat  v128.and  i8x16.popcnt ${i > 0 ? 'i8x16.add' : ''}`,
  ).join('\n');

/** Counts the ones in cells of four by four pixels of the rows from `a`, `b`, `c` and `d` on, until `a` is at `end`: a byte each, to `to`. */
const count: WasmFunction = {
  params: ['a', 'b', 'c', 'd', 'end', 'to'],
  i32: [],
  v128: ['left', 'right'],
  text: `
    loop
      ${halves(0xf0f0f0f0 | 0)}  local.set $left
      ${halves(0x0f0f0f0f)}  local.set $right
      local.get $to  local.get $left  local.get $right
      i8x16.shuffle 0 16 1 17 2 18 3 19 4 20 5 21 6 22 7 23  v128.store
      local.get $to  local.get $left  local.get $right
      i8x16.shuffle 8 24 9 25 10 26 11 27 12 28 13 29 14 30 15 31  v128.store offset=16
      local.get $to  i32.const ${2 * STEP}  i32.add  local.set $to
      ${ROWS.slice(1)
        .map((row) => `local.get ${row}  i32.const ${STEP}  i32.add  local.set ${row}`)
        .join('\n')}
      local.get $a  i32.const ${STEP}  i32.add  local.tee $a  local.get $end  i32.lt_u  br_if 0
    end`,
};
const kernels = { count };

/**
 * Sums over cells of four pixels a side where every fired pixel etches alike, and nothing but itself: `shareOf` so many of them, each counting
 * `share`. Counted by vectors, 64 pixels at a time; null where the engine has none.
 */
export function countedSums(map: Bitmap, shareOf: (fired: number, share: number) => number): CellSums | null {
  const { data, strideBytes } = map;
  const rowBytes = Math.ceil(strideBytes / STEP) * STEP;
  const apart = rowBytes + STEP;
  const opened = openWasm(kernels, apart * SIDE + 2 * rowBytes);
  if (opened === null) return null;
  const { buffer, run } = opened;
  const bytes = new Uint8Array(buffer);
  const counts = new Uint8Array(buffer, SIDE * apart, 2 * rowBytes);
  const shares = new Float32Array(SIDE * SIDE + 1);
  const starts = new Int32Array(SIDE);
  return (from, to, share, into) => {
    for (let i = 0; i < SIDE; i++) {
      const at = (from + i) * strideBytes;
      // as far behind a whole word as the row is in its own memory: what threads share is copied by the byte else
      const start = i * apart + ((data.byteOffset + at) & 7);
      starts[i] = start;
      if (from + i < to) bytes.set(data.subarray(at, at + strideBytes), start);
      else bytes.fill(0, start, start + strideBytes);
    }
    const [a, b, c, d] = starts as Int32Array & [number, number, number, number];
    run.count(a, b, c, d, a + rowBytes, SIDE * apart);
    for (let fired = 0; fired < shares.length; fired++) shares[fired] = shareOf(fired, share);
    lookUp(counts, shares, into);
  };
}

/** Four at a time, in half the time. */
function lookUp(counts: Uint8Array, shares: Float32Array, into: Float32Array): void {
  let i = 0;
  for (const fours = into.length - 3; i < fours; i += 4) {
    into[i] = shares[counts[i]!]!;
    into[i + 1] = shares[counts[i + 1]!]!;
    into[i + 2] = shares[counts[i + 2]!]!;
    into[i + 3] = shares[counts[i + 3]!]!;
  }
  for (; i < into.length; i++) into[i] = shares[counts[i]!]!;
}
