import type { WasmFunction } from '../wasm/assemble.ts';
import { openWasm } from '../wasm/open.ts';

const STEP = 8;
const CELL = Uint16Array.BYTES_PER_ELEMENT;
const SHARE = Float32Array.BYTES_PER_ELEMENT;

/** Eight cells at a time, until `to` is at `end`. At `limits`: what is less is wall, and a distance that none passes. */
const above: WasmFunction = {
  params: ['row', 'above', 'limits', 'to', 'end'],
  i32: [],
  v128: ['wall', 'most', 'one'],
  text: `
    local.get $limits  v128.load32_splat  local.set $wall
    local.get $limits  v128.load32_splat offset=4  local.set $most
    i32.const 1  i16x8.splat  local.set $one
    loop
      local.get $to
      local.get $above  v128.load  local.get $one  i16x8.add  local.get $most  i16x8.min_u
      local.get $row  v128.load  local.get $wall  f32x4.lt
      local.get $row  v128.load offset=16  local.get $wall  f32x4.lt
      i16x8.narrow_i32x4_s  v128.andnot  v128.store
      local.get $row  i32.const ${STEP * SHARE}  i32.add  local.set $row
      local.get $above  i32.const ${STEP * CELL}  i32.add  local.set $above
      local.get $to  i32.const ${STEP * CELL}  i32.add  local.tee $to  local.get $end  i32.lt_u  br_if 0
    end`,
};

const below: WasmFunction = {
  params: ['below', 'to', 'end'],
  i32: [],
  v128: ['one'],
  text: `
    i32.const 1  i16x8.splat  local.set $one
    loop
      local.get $to
      local.get $below  v128.load  local.get $one  i16x8.add  local.get $to  v128.load  i16x8.min_u  v128.store
      local.get $below  i32.const ${STEP * CELL}  i32.add  local.set $below
      local.get $to  i32.const ${STEP * CELL}  i32.add  local.tee $to  local.get $end  i32.lt_u  br_if 0
    end`,
};
const kernels = { above, below };

/** Distances of a block of cells from the nearest wall in their columns, and the rows of shares that they are told from. */
export interface Distances {
  /** By cell, row after row. */
  readonly down: Uint16Array;
  readonly shares: readonly Float32Array[];
  /** Carries distances down from the row at `before` to that at `at`, whose shares are `row`, no farther than a cell beyond `reach`, for the cells [from, to). */
  fromAbove(row: Float32Array, before: number, at: number, from: number, to: number): void;
  /** Likewise up by one row, to that at `at`. */
  fromBelow(at: number, from: number, to: number): void;
}

/** `rows` of `rowCells`, all 0, and as many of `width` shares; shares less than `wallBelow` are wall. `plain` does without WebAssembly: the same distances. */
export function openDistances(
  rows: number,
  rowCells: number,
  width: number,
  wallBelow: number,
  reach: number,
  plain: boolean,
): Distances {
  const rowBytes = width * SHARE;
  const sharesAt = STEP;
  const downAt = sharesAt + rows * rowBytes;
  const opened = plain ? null : openWasm(kernels, downAt + rows * rowCells * CELL);
  const buffer = opened?.buffer ?? new ArrayBuffer(downAt + rows * rowCells * CELL);
  const down = new Uint16Array(buffer, downAt, rows * rowCells);
  const shares = Array.from(
    { length: rows },
    (_, i) => new Float32Array(buffer, sharesAt + i * rowBytes, width),
  );
  if (opened === null)
    return {
      down,
      shares,
      fromAbove: (row, before, at, from, to) => fromAbove(row, wallBelow, down, before, at, reach, from, to),
      fromBelow: (at, from, to) => fromBelow(down, at, rowCells, from, to),
    };
  const { run } = opened;
  new Float32Array(buffer, 0, 1)[0] = floatFrom(wallBelow);
  new Uint16Array(buffer, SHARE, 2).fill(reach + 1);
  const cellAt = (cell: number): number => downAt + cell * CELL;
  return {
    down,
    shares,
    fromAbove(row, before, at, from, to) {
      const whole = to - ((to - from) % STEP);
      if (whole > from)
        run.above(
          row.byteOffset + from * SHARE,
          cellAt(before + from),
          0,
          cellAt(at + from),
          cellAt(at + whole),
        );
      fromAbove(row, wallBelow, down, before, at, reach, whole, to);
    },
    fromBelow(at, from, to) {
      const whole = to - ((to - from) % STEP);
      if (whole > from) run.below(cellAt(at + rowCells + from), cellAt(at + from), cellAt(at + whole));
      fromBelow(down, at, rowCells, whole, to);
    },
  };
}

/** The least float that is not below a positive limit: a float is below the one as it is below the other. */
function floatFrom(limit: number): number {
  const float = Float32Array.of(limit);
  if (float[0]! < limit) {
    const bits = new Uint32Array(float.buffer);
    bits[0] = bits[0]! + 1;
  }
  return float[0]!;
}

function fromAbove(
  row: Float32Array,
  wallBelow: number,
  down: Uint16Array,
  above: number,
  at: number,
  reach: number,
  from: number,
  to: number,
): void {
  for (let x = from; x < to; x++) {
    const before = down[above + x]!;
    down[at + x] = row[x]! < wallBelow ? 0 : before > reach ? before : before + 1;
  }
}

function fromBelow(down: Uint16Array, at: number, rowCells: number, from: number, to: number): void {
  for (let i = at + from; i < at + to; i++) {
    const nearer = down[i + rowCells]! + 1;
    if (down[i]! > nearer) down[i] = nearer;
  }
}
