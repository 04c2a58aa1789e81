import { type Bitmap, createBitmap } from '../bitmap.ts';
import type { Box } from './clusters.ts';
import { findEdges } from './components.ts';
import { eachOpened, type OpenedBlock } from './opening.ts';
import { loadRow, type PlateSide } from './words.ts';

/** A connected area in which a square of some width can lie everywhere, in cells. */
export interface WideArea extends Box {
  readonly cells: number;
  /** True if any of its cells lies in [left, right) × [top, bottom). */
  meets(left: number, top: number, right: number, bottom: number): boolean;
}

/**
 * The plate in cells of `cell` × `cell` pixels (a power of two up to 32): a cell is set if all its pixels are of the side.
 */
export function fullCells(map: Bitmap, side: PlateSide, cell: number): Bitmap {
  const flip = side === 'etched' ? 0 : -1;
  const reduced = createBitmap(Math.floor(map.widthPx / cell) || 1, Math.floor(map.heightPx / cell) || 1);
  const count = (map.widthPx + 31) >> 5;
  const words = new Int32Array(count);
  const all = new Int32Array(count);
  for (let row = 0; row < reduced.heightPx && (row + 1) * cell <= map.heightPx; row++) {
    all.fill(-1);
    for (let y = row * cell; y < (row + 1) * cell; y++) {
      loadRow(map, y, flip, 0, words, 0);
      for (let k = 0; k < count; k++) all[k] = all[k]! & words[k]!;
    }
    const at = row * reduced.strideBytes;
    for (let k = 0; k < count; k++) {
      let full = all[k]!;
      if (full === 0) continue;
      // the first bit of each cell stays if all that follow in the cell are set too
      for (let reach = 1; reach < cell; reach *= 2) full &= full << reach;
      for (let bit = 0; bit < 32; bit += cell) {
        if (((full << bit) & 0x80000000) === 0) continue;
        const x = (k * 32 + bit) / cell;
        reduced.data[at + (x >> 3)] = reduced.data[at + (x >> 3)]! | (0x80 >> (x & 7));
      }
    }
  }
  return reduced;
}

/**
 * Connected areas (over sides, not corners) of all places where a square of `square` cells lies within the
 * side; necks narrower than that keep areas apart. The runs of each area are kept, so that it can be asked
 * where it is.
 */
export function wideAreas(cells: Bitmap, side: PlateSide, square: number): WideArea[] {
  const count = (cells.widthPx + 31) >> 5;
  const runs: WideRuns = {
    edges: new Int32Array(count * 32 + 2),
    wide: new Int32Array(count),
    starts: [],
    ends: [],
    parent: [],
    firstOfRow: new Int32Array(cells.heightPx + 1),
  };
  if (square <= 1) {
    const flip = side === 'etched' ? 0 : -1;
    for (let y = 0; y < cells.heightPx; y++) {
      loadRow(cells, y, flip, 0, runs.wide, 0);
      addRow(runs, y);
    }
  } else eachOpened(cells, { side, widthPx: square, squareOnly: true }, (block) => addBlock(runs, block));
  const { starts, ends, parent, firstOfRow } = runs;
  return gather(
    starts,
    ends,
    firstOfRow,
    starts.map((_, run) => rootOf(parent, run)),
  );
}

/** All runs of a side, row by row, as they come; the row in hand as words and as edges. */
interface WideRuns {
  readonly wide: Int32Array;
  readonly edges: Int32Array;
  readonly starts: number[];
  readonly ends: number[];
  readonly parent: number[];
  readonly firstOfRow: Int32Array;
}

function rootOf(parent: number[], run: number): number {
  let root = run;
  while (parent[root] !== root) {
    parent[root] = parent[parent[root]!]!;
    root = parent[root]!;
  }
  return root;
}

function addBlock(runs: WideRuns, { firstRow, rows, origin, stride, source, removed }: OpenedBlock): void {
  const { wide } = runs;
  for (let y = 0; y < rows; y++) {
    const at = origin + y * stride;
    for (let k = 0; k < wide.length; k++) wide[k] = source[at + k]! & ~removed[at + k]!;
    addRow(runs, firstRow + y);
  }
}

function addRow({ wide, edges, starts, ends, parent, firstOfRow }: WideRuns, y: number): void {
  firstOfRow[y] = starts.length;
  const n = findEdges(wide, 0, wide.length, edges);
  let j = y === 0 ? 0 : firstOfRow[y - 1]!;
  const above = firstOfRow[y]!;
  for (let i = 0; i < n; i += 2) {
    const from = edges[i]!;
    const to = edges[i + 1]!;
    const run = starts.length;
    starts.push(from);
    ends.push(to);
    parent.push(run);
    while (j < above && ends[j]! <= from) j++;
    for (let q = j; q < above && starts[q]! < to; q++) parent[rootOf(parent, q)] = rootOf(parent, run);
  }
  firstOfRow[y + 1] = starts.length;
}

function gather(
  starts: readonly number[],
  ends: readonly number[],
  firstOfRow: Int32Array,
  roots: readonly number[],
): WideArea[] {
  const areas = new Map<number, { box: [number, number, number, number]; cells: number }>();
  for (let y = 0; y + 1 < firstOfRow.length; y++) {
    for (let run = firstOfRow[y]!; run < firstOfRow[y + 1]!; run++) {
      const root = roots[run]!;
      const from = starts[run]!;
      const to = ends[run]!;
      const area = areas.get(root);
      if (area === undefined) {
        areas.set(root, { box: [from, y, to, y + 1], cells: to - from });
        continue;
      }
      area.box[0] = Math.min(area.box[0], from);
      area.box[2] = Math.max(area.box[2], to);
      area.box[3] = y + 1;
      area.cells += to - from;
    }
  }
  return [...areas].map(([root, { box, cells }]) => ({
    left: box[0],
    top: box[1],
    right: box[2],
    bottom: box[3],
    cells,
    meets(left, top, right, bottom) {
      for (let y = Math.max(0, top); y < Math.min(bottom, firstOfRow.length - 1); y++) {
        let low = firstOfRow[y]!;
        let high = firstOfRow[y + 1]!;
        while (low < high) {
          const middle = (low + high) >> 1;
          if (ends[middle]! <= left) low = middle + 1;
          else high = middle;
        }
        for (; low < firstOfRow[y + 1]! && starts[low]! < right; low++) if (roots[low] === root) return true;
      }
      return false;
    },
  }));
}
