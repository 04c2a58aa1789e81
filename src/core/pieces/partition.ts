/** A canvas of flat colours: each cell has the number of its colour. */
export interface FlatColours {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Uint8Array;
}

/** One connected piece of one colour. */
export interface Piece {
  /** Letter of its colour and number among those of that colour, from the top: A1, A2, B1. */
  readonly id: string;
  readonly colour: number;
  readonly areaPx: number;
  /** `right` and `bottom` are the first cells beyond it. */
  readonly box: {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  };
  /** The middle of the largest upright square that fits into it, and its side in cells. */
  readonly inner: { readonly xPx: number; readonly yPx: number; readonly sidePx: number };
}

/** Every cell of a canvas in exactly one piece. */
export interface Partition {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Number of the piece of each cell. */
  readonly pieceAt: Int32Array;
  readonly pieces: readonly Piece[];
}

/** Joins cells of one colour that share a side; numbers them from the top, row by row. */
function connected({ widthPx, heightPx, data }: FlatColours): { pieceAt: Int32Array; count: number } {
  const pieceAt = new Int32Array(data.length);
  const parents: number[] = [];
  const rootOf = (piece: number): number => {
    let root = piece;
    while (parents[root] !== root) root = parents[root]!;
    for (let at = piece; at !== root; ) {
      const next = parents[at]!;
      parents[at] = root;
      at = next;
    }
    return root;
  };
  for (let y = 0, at = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++, at++) {
      const left = x > 0 && data[at - 1] === data[at] ? pieceAt[at - 1]! : -1;
      const up = y > 0 && data[at - widthPx] === data[at] ? pieceAt[at - widthPx]! : -1;
      if (left < 0 && up < 0) {
        pieceAt[at] = parents.length;
        parents.push(parents.length);
      } else pieceAt[at] = left < 0 ? up : left;
      if (left >= 0 && up >= 0 && left !== up) {
        const [a, b] = [rootOf(left), rootOf(up)];
        parents[Math.max(a, b)] = Math.min(a, b);
      }
    }
  const numbers = new Int32Array(parents.length).fill(-1);
  let count = 0;
  for (let at = 0; at < pieceAt.length; at++) {
    const root = rootOf(pieceAt[at]!);
    if (numbers[root] === -1) numbers[root] = count++;
    pieceAt[at] = numbers[root]!;
  }
  return { pieceAt, count };
}

/** One pass over all cells: each is no deeper than a step more than the three above (below) and the one beside it. */
function deepen(depth: Int32Array, pieceAt: Int32Array, widthPx: number, forwards: boolean): void {
  const row = forwards ? -widthPx : widthPx;
  const side = forwards ? -1 : 1;
  const last = pieceAt.length - 1;
  for (let i = widthPx; i < pieceAt.length - widthPx; i++) {
    const at = forwards ? i : last - i;
    const own = pieceAt[at]!;
    let least = depth[at]! - 1;
    const a = pieceAt[at + row - 1] === own ? depth[at + row - 1]! : 0;
    const b = pieceAt[at + row] === own ? depth[at + row]! : 0;
    const c = pieceAt[at + row + 1] === own ? depth[at + row + 1]! : 0;
    const d = pieceAt[at + side] === own ? depth[at + side]! : 0;
    if (a < least) least = a;
    if (b < least) least = b;
    if (c < least) least = c;
    if (d < least) least = d;
    depth[at] = least + 1;
  }
}

/** Steps (also slanting ones) from each cell to the nearest that is not of its piece; the canvas ends on such. */
function depths(pieceAt: Int32Array, widthPx: number, heightPx: number): Int32Array {
  const depth = new Int32Array(pieceAt.length).fill(Math.max(widthPx, heightPx));
  // cells on the edge are 1 deep already, and stay so
  depth.fill(1, 0, widthPx);
  depth.fill(1, pieceAt.length - widthPx);
  for (let y = 0; y < heightPx; y++) {
    depth[y * widthPx] = 1;
    depth[(y + 1) * widthPx - 1] = 1;
  }
  deepen(depth, pieceAt, widthPx, true);
  deepen(depth, pieceAt, widthPx, false);
  return depth;
}

/** A, B … Z, AA, AB … */
function lettersOf(index: number): string {
  const letter = String.fromCharCode(65 + (index % 26));
  return index < 26 ? letter : lettersOf(Math.floor(index / 26) - 1) + letter;
}

/** Divides a canvas of flat colours into pieces: every connected area of one colour is one. */
export function partitionOf(canvas: FlatColours): Partition {
  const { widthPx, heightPx, data } = canvas;
  const { pieceAt, count } = connected(canvas);
  const depth = depths(pieceAt, widthPx, heightPx);
  const areas = new Int32Array(count);
  const colours = new Int32Array(count);
  const inner = new Int32Array(count).fill(-1);
  const boxes = Array.from({ length: count }, () => ({ left: widthPx, top: heightPx, right: 0, bottom: 0 }));
  for (let y = 0, at = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++, at++) {
      const piece = pieceAt[at]!;
      areas[piece] = areas[piece]! + 1;
      colours[piece] = data[at]!;
      if (inner[piece]! < 0 || depth[at]! > depth[inner[piece]!]!) inner[piece] = at;
      const box = boxes[piece]!;
      if (x < box.left) box.left = x;
      if (x >= box.right) box.right = x + 1;
      if (y < box.top) box.top = y;
      box.bottom = y + 1;
    }
  const used = [...new Set(colours)].sort((a, b) => a - b);
  const perColour = new Map<number, number>();
  const pieces = Array.from({ length: count }, (_, piece): Piece => {
    const colour = colours[piece]!;
    const number = (perColour.get(colour) ?? 0) + 1;
    perColour.set(colour, number);
    const at = inner[piece]!;
    return {
      id: `${lettersOf(used.indexOf(colour))}${number}`,
      colour,
      areaPx: areas[piece]!,
      box: boxes[piece]!,
      inner: { xPx: at % widthPx, yPx: Math.floor(at / widthPx), sidePx: 2 * depth[at]! - 1 },
    };
  });
  return { widthPx, heightPx, pieceAt, pieces };
}
