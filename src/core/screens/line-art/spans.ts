import type { RowShape } from './rows.ts';

/** Where line art lies, and the words round it that have to be worked at for its sake. */
export interface Spans {
  /** Cell rows below a row whose line art has to be marked before the row is worked at. */
  readonly cellRowsBelow: number;
  /** Empty words of a cell row (without guards) to be filled in where there is line art. Cell rows come in order. */
  mark(cellRow: number): Int32Array;
  /** Puts down that a cell row has no line art. */
  pass(cellRow: number): void;
  /** The words of a marked cell row; null where it has none. */
  inside(cellRow: number): Int32Array | null;
  /** Words [from, to) of row y, guards counted, that lie near line art. */
  each(y: number, visit: (y: number, from: number, to: number) => void): void;
}

/** What spans are kept for. */
export interface SpansPlace {
  readonly shape: RowShape;
  readonly cellYPx: number;
  /** Pixels, either way, that what is worked at may look at. */
  readonly reachPx: number;
  /** Rows for which marks and spans stay readable. */
  readonly keepRows: number;
}

/**
 * Line art is sparse, and what is worked out for it takes several times as long as screening it. So rows are worked at
 * late, when all the line art in reach of them is known, and only there; what stands beside a span is left over from
 * other rows and is never looked at.
 */
export function openSpans({ shape, cellYPx, reachPx, keepRows }: SpansPlace): Spans {
  const { words, guard } = shape;
  const stride = words + 2 * guard;
  const cellRowsBelow = Math.ceil(reachPx / cellYPx);
  const beside = (reachPx + 31) >> 5;
  const mask = (1 << (32 - Math.clz32(Math.ceil(keepRows / cellYPx) + 2 * cellRowsBelow + 1))) - 1;
  const marks = Array.from({ length: mask + 1 }, () => new Int32Array(words));
  const marked = new Uint8Array(mask + 1);
  /** Ends of each cell row's spans, two by two, their number, and the cell row they are of. */
  const ends = Array.from({ length: mask + 1 }, () => new Int32Array(words + 2));
  const counts = new Int32Array(mask + 1);
  const drawnFor = new Float64Array(mask + 1).fill(Number.NaN);
  const near = new Int32Array(words);

  const draw = (cellRow: number): void => {
    drawnFor[cellRow & mask] = cellRow;
    let count = 0;
    let none = true;
    for (let row = cellRow - cellRowsBelow; row <= cellRow + cellRowsBelow; row++) {
      if (marked[row & mask] === 0) continue;
      if (none) near.fill(0);
      none = false;
      const inside = marks[row & mask]!;
      for (let k = 0; k < words; k++) near[k]! |= inside[k]!;
    }
    const to = ends[cellRow & mask]!;
    for (let k = none ? words : 0; k < words; k++) {
      if (near[k] === 0) continue;
      const from = Math.max(0, k + guard - beside);
      if (count > 0 && from <= to[count - 1]!) count -= 2;
      else to[count] = from;
      to[count + 1] = Math.min(stride, k + guard + beside + 1);
      count += 2;
    }
    counts[cellRow & mask] = count;
  };

  const set = (cellRow: number, any: 0 | 1): void => {
    marked[cellRow & mask] = any;
  };
  return {
    cellRowsBelow,
    mark(cellRow) {
      set(cellRow, 1);
      return marks[cellRow & mask]!.fill(0);
    },
    pass: (cellRow) => set(cellRow, 0),
    inside: (cellRow) => (marked[cellRow & mask] === 0 ? null : marks[cellRow & mask]!),
    each(y, visit) {
      const cellRow = Math.floor(y / cellYPx);
      if (drawnFor[cellRow & mask] !== cellRow) draw(cellRow);
      const count = counts[cellRow & mask]!;
      const of = ends[cellRow & mask]!;
      for (let i = 0; i < count; i += 2) visit(y, of[i]!, of[i + 1]!);
    },
  };
}
