import type { CellFigures, FiguresShape } from './figures.ts';
import { PLANE_OF } from './gather-text.ts';
import { openVectorFigures } from './gather-vector.ts';
import type { ToneRows } from './tones.ts';

/** Figures of cells of those rows; by vectors where the engine has them, and room was left. */
export const openFigures = (rows: ToneRows, shape: FiguresShape): CellFigures =>
  openVectorFigures(rows, shape) ?? openPlainFigures(rows, shape);

/** The same in plain loops: for engines without vectors, and what those are held to. */
export function openPlainFigures(rows: ToneRows, shape: FiguresShape): CellFigures {
  const [least, most, between] = [0, 1, 2].map(() => new Int32Array(shape.cells)) as [
    Int32Array,
    Int32Array,
    Int32Array,
  ];
  const planes = new Int32Array(shape.words);
  const figures = { least, most, between };
  const cells = { ...shape, ...rows };
  return {
    ...figures,
    planes,
    gather: (start, count, to) => gatherCells(cells, start, start + count * shape.cellXPx, figures, to),
    mark(from, count, at) {
      for (const [plane, { of, above }] of PLANE_OF.entries())
        planes[at + plane] = bitsOf(figures[of], from, from + count, shape.limits[plane]!, above ? 0 : -1);
    },
  };
}

/** Bits of cells whose figure, from an index on, lies above `limit` (`turn` 0) or at most there (−1). */
function bitsOf(values: Int32Array, from: number, to: number, limit: number, turn: number): number {
  let word = 0;
  for (let i = from, bit = 0x80000000; i < to; i++, bit >>>= 1)
    word |= (((limit - values[i]!) >> 31) ^ turn) & bit;
  return word;
}

type ToneCells = FiguresShape & Pick<ToneRows, 'tones' | 'pairs' | 'rowPx'>;
type Figures = Pick<CellFigures, 'least' | 'most' | 'between'>;

/* Lesser and greater of two without a branch, as noise would make each one a guess: b + (a − b where negative). */

function gatherPairs(
  { pairs, rowPx, low, full }: ToneCells,
  start: number,
  end: number,
  figures: Figures,
  to: number,
): void {
  const { least, most, between } = figures;
  for (let x = start, at = to; x < end; x += 2, at++) {
    const upper = pairs[x >> 1]!;
    const lower = pairs[(x + rowPx) >> 1]!;
    if (upper === lower && upper >>> 16 === (upper & 0xffff)) {
      const flat = Math.max(0, (upper >>> 16) - low);
      least[at] = flat;
      most[at] = flat;
      between[at] = 4 * Math.min(flat, full - flat);
      continue;
    }
    let a = (upper & 0xffff) - low;
    let b = (upper >>> 16) - low;
    let c = (lower & 0xffff) - low;
    let d = (lower >>> 16) - low;
    a &= ~(a >> 31);
    b &= ~(b >> 31);
    c &= ~(c >> 31);
    d &= ~(d >> 31);
    const ab = (a - b) & ((a - b) >> 31);
    const cd = (c - d) & ((c - d) >> 31);
    const lows = b + ab - (d + cd);
    const highs = a - ab - (c - cd);
    least[at] = d + cd + (lows & (lows >> 31));
    most[at] = a - ab - (highs & (highs >> 31));
    const pa = full - 2 * a;
    const pb = full - 2 * b;
    const pc = full - 2 * c;
    const pd = full - 2 * d;
    between[at] =
      a + b + c + d + (pa & (pa >> 31)) + (pb & (pb >> 31)) + (pc & (pc >> 31)) + (pd & (pd >> 31));
  }
}

/** Figures of the cells whose top rows are the tones [start, end), from index `to` on. */
function gatherCells(cells: ToneCells, start: number, end: number, figures: Figures, to: number): void {
  const { tones, rowPx, cellXPx, cellYPx, low, full } = cells;
  if (cellXPx === 2 && cellYPx === 2) {
    gatherPairs(cells, start, end, figures, to);
    return;
  }
  const { least, most, between } = figures;
  const below = rowPx * cellYPx;
  for (let left = start, at = to; left < end; left += cellXPx, at++) {
    let lowest = 65535;
    let highest = 0;
    let sum = 0;
    for (let row = left; row < left + below; row += rowPx) {
      for (let x = row; x < row + cellXPx; x++) {
        let v = tones[x]! - low;
        v &= ~(v >> 31);
        const less = v - lowest;
        const more = highest - v;
        lowest += less & (less >> 31);
        highest -= more & (more >> 31);
        const past = full - 2 * v;
        sum += v + (past & (past >> 31));
      }
    }
    least[at] = lowest;
    most[at] = highest;
    between[at] = sum;
  }
}
