import type { WasmFunction } from '../../wasm/assemble.ts';

/** The limits that bits of a cell tell of, in the order of the planes: which figure, and whether it is to lie above (or at most there). */
export const PLANE_OF = [
  { of: 'most', above: true },
  { of: 'least', above: false },
  { of: 'most', above: true },
  { of: 'least', above: false },
  { of: 'least', above: true },
  { of: 'most', above: false },
  { of: 'between', above: true },
] as const;

/*
 * A column of eight pixels: its least and most tone, `low` taken off, and how far its tones lie from the nearer of 0 and full, which
 * is v less twice what it lies above the middle: v − max(0, 2v − full). That may pass 16 bits where v is above full: so it is taken
 * as v − (full − v), nothing below 0 either time, and v − full, which both fit.
 */
const column = (addUp: string): string => `
      local.get $at  local.tee $row  local.get $height  i32.add  local.set $stop
      i32.const -1  i32x4.splat  local.set $lo
      i32.const 0  i32x4.splat  local.tee $hi  local.tee $left  local.set $right
      loop
        local.get $row  v128.load  local.get $lows  i16x8.sub_sat_u  local.tee $v
        local.get $lo  i16x8.min_u  local.set $lo
        local.get $v  local.get $hi  i16x8.max_u  local.set $hi
        local.get $v
        local.get $v  local.get $fulls  local.get $v  i16x8.sub_sat_u  i16x8.sub_sat_u
        i16x8.sub  local.set $own
        local.get $v  local.get $fulls  i16x8.sub_sat_u  local.set $past
        ${addUp}
        local.get $row  local.get $below  i32.add  local.tee $row  local.get $stop  i32.lt_u  br_if 0
      end`;

const begin = `
    local.get $low  i16x8.splat  local.set $lows
    local.get $full  i16x8.splat  local.set $fulls`;

const shared = {
  params: ['at', 'end', 'below', 'height', 'low', 'full', 'least', 'most', 'between', 'columns'],
  v128: ['lows', 'fulls', 'v', 'lo', 'hi', 'own', 'past', 'left', 'right'],
};

/** Cells two pixels wide, four at a time: figures of `gatherCells` from addresses `least`, `most` and `between` on. */
const pairsText: WasmFunction = {
  ...shared,
  i32: ['row', 'stop'],
  text: `${begin}
    loop
      ${column(`
        local.get $left
        local.get $own  i32x4.extadd_pairwise_i16x8_u  i32x4.add
        local.get $past  i32x4.extadd_pairwise_i16x8_u  i32x4.sub  local.set $left`)}
      local.get $least
      local.get $lo  local.get $lo  i32.const 16  i32x4.shr_u  i16x8.min_u
      v128.store
      local.get $most
      local.get $hi  local.get $hi  i32.const 16  i32x4.shl  i16x8.max_u  i32.const 16  i32x4.shr_u
      v128.store
      local.get $between  local.get $left  v128.store
      local.get $least  i32.const 16  i32.add  local.set $least
      local.get $most  i32.const 16  i32.add  local.set $most
      local.get $between  i32.const 16  i32.add  local.set $between
      local.get $at  i32.const 16  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

/** Cells of a block at most. */
const CELLS = 32;

/** Where the figures of single columns lie from `columns` on, in bytes: least tones, most (16 bits each), and sums (32). */
export function columnsOf(cellXPx: number) {
  const mostAt = 2 * CELLS * cellXPx;
  return { mostAt, sumsAt: 2 * mostAt, bytes: 4 * mostAt };
}

/** Replaces a variable by a column's figure if that is less (`lt_u`) or more. */
const replaced = (name: string, offset: number, when: string): string => `
      local.get $x  i32.load16_u offset=${offset}  local.tee $tone
      local.get $${name}
      local.get $tone  local.get $${name}  i32.${when}  select  local.set $${name}`;

/** Cells of another width: figures of columns first, then those of a cell's columns together. */
function wideText(cellXPx: number): WasmFunction {
  const { mostAt, sumsAt } = columnsOf(cellXPx);
  const all = Array.from({ length: cellXPx }, (_, x) => x);
  return {
    ...shared,
    i32: ['row', 'stop', 'x', 'sums', 'tone', 'lowest', 'highest', 'to', 'last'],
    text: `${begin}
    local.get $columns  local.tee $x  local.tee $sums
    local.get $end  local.get $at  i32.sub  i32.add  local.set $last
    loop
      ${column(`
        local.get $left
        local.get $own  i32x4.extend_low_i16x8_u  i32x4.add
        local.get $past  i32x4.extend_low_i16x8_u  i32x4.sub  local.set $left
        local.get $right
        local.get $own  i32x4.extend_high_i16x8_u  i32x4.add
        local.get $past  i32x4.extend_high_i16x8_u  i32x4.sub  local.set $right`)}
      local.get $x  local.get $lo  v128.store
      local.get $x  local.get $hi  v128.store offset=${mostAt}
      local.get $sums  local.get $left  v128.store offset=${sumsAt}
      local.get $sums  local.get $right  v128.store offset=${sumsAt + 16}
      local.get $x  i32.const 16  i32.add  local.set $x
      local.get $sums  i32.const 32  i32.add  local.set $sums
      local.get $at  i32.const 16  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end
    local.get $columns  local.tee $x  local.set $sums
    loop
      i32.const 65535  local.set $lowest
      i32.const 0  local.set $highest
      ${all.map((x) => replaced('lowest', 2 * x, 'lt_u')).join('')}
      ${all.map((x) => replaced('highest', mostAt + 2 * x, 'gt_u')).join('')}
      local.get $least  local.get $to  i32.add  local.get $lowest  i32.store
      local.get $most  local.get $to  i32.add  local.get $highest  i32.store
      local.get $between  local.get $to  i32.add
      ${all.map((x) => `local.get $sums  i32.load offset=${sumsAt + 4 * x} ${x > 0 ? 'i32.add' : ''}`).join('\n')}
      i32.store
      local.get $to  i32.const 4  i32.add  local.set $to
      local.get $sums  i32.const ${4 * cellXPx}  i32.add  local.set $sums
      local.get $x  i32.const ${2 * cellXPx}  i32.add  local.tee $x
      local.get $last  i32.lt_u  br_if 0
    end`,
  };
}

/**
 * Figures of cells as the plain `gatherCells` has them: of tones from address `at` to `end`, steps of eight, in rows `below` bytes
 * apart, `height` bytes in all, to the addresses `least`, `most` and `between`; `columns` is room for those of a block's columns.
 */
export const gatherText = (cellXPx: number): WasmFunction => (cellXPx === 2 ? pairsText : wideText(cellXPx));

/** Four cells' bits against the limit. */
const four = (of: string, above: boolean, cell: number): string => {
  const figures = `local.get $${of}  v128.load offset=${4 * cell}`;
  return above ? `local.get $limit  ${figures}  i32x4.lt_s` : `${figures}  local.get $beyond  i32x4.lt_s`;
};
const sixteen = (of: string, above: boolean, cell: number): string => `
      ${four(of, above, cell)}  ${four(of, above, cell + 4)}  i16x8.narrow_i32x4_s
      ${four(of, above, cell + 8)}  ${four(of, above, cell + 12)}  i16x8.narrow_i32x4_s
      i8x16.narrow_i16x8_s  local.tee $all
      local.get $all  i8x16.shuffle 15 14 13 12 11 10 9 8 7 6 5 4 3 2 1 0
      i8x16.bitmask`;

/**
 * Writes a word for each of `PLANE_OF` at address `to`, of the 32 cells whose figures begin at the addresses given, the first in
 * bit 31; `limits` stand at their address one after the other.
 */
export const planesText: WasmFunction = {
  params: ['least', 'most', 'between', 'limits', 'to'],
  i32: [],
  v128: ['limit', 'beyond', 'all'],
  text: PLANE_OF.map(
    ({ of, above }, plane) => `
      local.get $limits  v128.load32_splat offset=${4 * plane}  local.tee $limit
      i32.const 1  i32x4.splat  i32x4.add  local.set $beyond
      local.get $to
      ${sixteen(of, above, 0)}  i32.const 16  i32.shl
      ${sixteen(of, above, 16)}  i32.or
      i32.store offset=${4 * plane}`,
  ).join(''),
};
