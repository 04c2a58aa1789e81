import { bordersOf } from './borders.ts';
import { type FlatColours, partitionOf } from './partition.ts';

/** A canvas in at most so many cells, each with the colour in its middle; the same canvas where it has no more. */
export function cellsOf(canvas: FlatColours, most: number): FlatColours {
  const { data } = canvas;
  const step = Math.sqrt((canvas.widthPx * canvas.heightPx) / most);
  if (step <= 1) return canvas;
  const widthPx = Math.max(1, Math.floor(canvas.widthPx / step));
  const heightPx = Math.max(1, Math.floor(canvas.heightPx / step));
  const cells = new Uint8Array(widthPx * heightPx);
  const columns = Int32Array.from({ length: widthPx }, (_, x) =>
    Math.floor(((x + 0.5) * canvas.widthPx) / widthPx),
  );
  for (let y = 0, at = 0; y < heightPx; y++) {
    const row = Math.floor(((y + 0.5) * canvas.heightPx) / heightPx) * canvas.widthPx;
    for (let x = 0; x < widthPx; x++, at++) cells[at] = data[row + columns[x]!]!;
  }
  return { widthPx, heightPx, data: cells };
}

/** For each piece its neighbour along the longest border; −1 where it has none. */
function nearestNeighbours(canvas: FlatColours): {
  neighbours: Int32Array;
  partition: ReturnType<typeof partitionOf>;
} {
  const partition = partitionOf(canvas);
  const shared = partition.pieces.map(() => new Map<number, number>());
  for (const { left, right, points } of bordersOf(partition)) {
    if (left < 0 || right < 0) continue;
    for (const [one, other] of [
      [left, right],
      [right, left],
    ] as const)
      shared[one]!.set(other, (shared[one]!.get(other) ?? 0) + points.length - 1);
  }
  const neighbours = Int32Array.from(shared, (lengths) => {
    let [best, length] = [-1, 0];
    for (const [piece, long] of lengths) if (long > length) [best, length] = [piece, long];
    return best;
  });
  return { neighbours, partition };
}

/** What is no piece: fewer cells than that, or so thin that no square of this side fits in. */
export interface Crumb {
  readonly cells: number;
  readonly sidePx: number;
}

/**
 * The canvas without crumbs: each goes to the neighbour with which it shares the longest border. `gone` says how many
 * went, `pieces` how many stay.
 */
export function withoutCrumbs(
  canvas: FlatColours,
  { cells, sidePx }: Crumb,
): { canvas: FlatColours; pieces: number; gone: number } {
  let at: FlatColours = canvas;
  let gone = 0;
  for (;;) {
    const { neighbours, partition } = nearestNeighbours(at);
    const { pieces, pieceAt } = partition;
    // a crumb goes to what stays, or to a larger crumb; then the next round has it
    const to = pieces.map(({ areaPx, colour, inner }, piece) => {
      const neighbour = pieces[neighbours[piece]!];
      const isCrumb = areaPx < cells || inner.sidePx < sidePx;
      return isCrumb && neighbour && neighbour.areaPx > areaPx ? neighbour.colour : colour;
    });
    const moved = pieces.filter(({ colour }, piece) => to[piece] !== colour).length;
    if (moved === 0) return { canvas: at, pieces: pieces.length, gone };
    gone += moved;
    at = { ...at, data: at.data.map((_, cell) => to[pieceAt[cell]!]!) };
  }
}
