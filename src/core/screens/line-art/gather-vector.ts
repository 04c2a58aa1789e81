import { openWasm } from '../../wasm/open.ts';
import type { CellFigures, FiguresShape } from './figures.ts';
import { columnsOf, gatherText, PLANE_OF, planesText } from './gather-text.ts';
import type { ToneRows } from './tones.ts';

const kernelsFor = (cellXPx: number) => ({ gather: gatherText(cellXPx), planes: planesText });
/** One for each width of cells. */
const kernels = new Map<number, ReturnType<typeof kernelsFor>>();

function kernelsOf(cellXPx: number): ReturnType<typeof kernelsFor> {
  const known = kernels.get(cellXPx) ?? kernelsFor(cellXPx);
  kernels.set(cellXPx, known);
  return known;
}

/** Cells of a block, which are looked at together, fewer or not. */
const BLOCK = 32;
const LIMITS_BYTES = 32;

type Room = Pick<FiguresShape, 'cellXPx' | 'cells' | 'words'>;

function layoutOf({ cellXPx, cells, words }: Room, spareAt: number) {
  const columnsAt = spareAt + LIMITS_BYTES;
  const leastAt = columnsAt + columnsOf(cellXPx).bytes;
  const mostAt = leastAt + 4 * cells;
  const betweenAt = mostAt + 4 * cells;
  // the last block is read whole
  const planesAt = betweenAt + 4 * (cells + BLOCK);
  return { limitsAt: spareAt, columnsAt, leastAt, mostAt, betweenAt, planesAt, end: planesAt + 4 * words };
}

/** Bytes that the rows' memory needs to spare. */
export const figuresBytes = (shape: Room): number => layoutOf(shape, 0).end;

/** Figures by vectors, in the memory of the rows; null where that is none of WebAssembly's. */
export function openVectorFigures(rows: ToneRows, shape: FiguresShape): CellFigures | null {
  if (rows.shared === null) return null;
  const { memory, spareAt } = rows.shared;
  const { cellXPx, cellYPx, low, full, cells, words } = shape;
  const opened = openWasm(kernelsOf(cellXPx), memory);
  if (opened === null) return null;
  const { limitsAt, columnsAt, leastAt, mostAt, betweenAt, planesAt } = layoutOf(shape, spareAt);
  const { buffer } = opened;
  const { gather: gatherCells, planes: markCells } = opened.run;
  new Int32Array(buffer, limitsAt, shape.limits.length).set(shape.limits);
  const planes = new Int32Array(buffer, planesAt, words);
  const below = 2 * rows.rowPx;
  return {
    least: new Int32Array(buffer, leastAt, cells),
    most: new Int32Array(buffer, mostAt, cells),
    between: new Int32Array(buffer, betweenAt, cells),
    planes,
    gather(start, count, to) {
      const at = 2 * start;
      const [least, most, between] = [leastAt + 4 * to, mostAt + 4 * to, betweenAt + 4 * to];
      const end = at + 2 * count * cellXPx;
      gatherCells(at, end, below, below * cellYPx, low, full, least, most, between, columnsAt);
    },
    mark(from, count, at) {
      const [least, most, between] = [leastAt + 4 * from, mostAt + 4 * from, betweenAt + 4 * from];
      markCells(least, most, between, limitsAt, planesAt + 4 * at);
      if (count < BLOCK) for (let i = at; i < at + PLANE_OF.length; i++) planes[i]! &= -1 << (BLOCK - count);
    },
  };
}
