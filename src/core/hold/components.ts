/** One connected piece of a drawing. `right` and `bottom` are the first pixels beyond it. */
export interface Piece {
  readonly areaPx: number;
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  /** Column of its first pixel, in the row `top`. */
  readonly firstX: number;
  /** Runs of pixels it is made of, counted along rows and along columns; see `ribbonWidthPx`. */
  readonly rowRuns: number;
  readonly columnRuns: number;
  /** True if any of its pixels was marked. */
  readonly marked: boolean;
}

/**
 * Width of a thin piece from its area and its runs: a straight ribbon of width w, lying at an angle a, is w/|cos a|
 * wide along rows and w/|sin a| along columns, so 1/w² is the sum of both mean run lengths' inverse squares.
 */
export const ribbonWidthPx = (areaPx: number, rowRuns: number, columnRuns: number): number =>
  areaPx / Math.hypot(rowRuns, columnRuns);

/** What is handed over in one and the same object, as there may be hundreds of thousands: the engine takes those for lasting, and keeps them. */
export type Reused<Thing> = { -readonly [Key in keyof Thing]: Thing[Key] };

export interface PieceFinder {
  /** The next row as words from `words[at]`; `marks` has a bit for every marked pixel. Rows come in order. */
  row(words: Int32Array, at: number, y: number, marks?: Int32Array, marksAt?: number): void;
  /** Closes all pieces; further rows start anew. */
  end(): void;
}

/** Pixels at which a row changes colour, its end included if the last run reaches it. Returns their number, always even. */
export function findEdges(words: Int32Array, at: number, count: number, edges: Int32Array): number {
  let n = 0;
  let last = 0;
  for (let k = 0; k < count; k++) {
    const word = words[at + k]!;
    if (word === last) continue; // wholly inside or outside a run
    let changes = word ^ ((word >>> 1) | (last & 0x80000000));
    while (changes !== 0) {
      const bit = Math.clz32(changes);
      edges[n++] = (k << 5) + bit;
      changes ^= 0x80000000 >>> bit;
    }
    last = (word & 1) === 0 ? 0 : -1;
  }
  if (n & 1) edges[n++] = count << 5;
  return n;
}

const FIELDS = 6;
const [LEFT, TOP, RIGHT, BOTTOM, FIRST, MARK] = [0, 1, 2, 3, 4, 5] as const;

/** Sums over pixels: the ground of a plate of 5,000 million is one piece, more than 31 bits count. */
const SUMS = 3;
const [AREA, ROWS, COLUMNS] = [0, 1, 2] as const;

const anyMark = (marks: Int32Array, at: number, from: number, to: number): boolean => {
  const first = from >> 5;
  const last = (to - 1) >> 5;
  const head = -1 >>> (from & 31);
  const tail = -1 << (31 - ((to - 1) & 31));
  if (first === last) return (marks[at + first]! & head & tail) !== 0;
  if ((marks[at + first]! & head) !== 0 || (marks[at + last]! & tail) !== 0) return true;
  for (let k = first + 1; k < last; k++) if (marks[at + k] !== 0) return true;
  return false;
};

/**
 * Finds the connected pieces of a drawing that comes row by row and hands each over once it is closed. Runs are
 * joined by union-find with those of the row before only (after A. Rosenfeld & J. L. Pfaltz, J. ACM 13, 1966; from memory),
 * so memory follows the width, not the plate. `emit` is given the same object every time, and copies what it keeps.
 */
export function findPieces(widthPx: number, neighbours: 4 | 8, emit: (piece: Piece) => void): PieceFinder {
  const count = (widthPx + 31) >> 5;
  const reach = neighbours === 8 ? 1 : 0;
  const most = count * 32 + 2;
  let edges = new Int32Array(most);
  let above = new Int32Array(most);
  let slots = new Int32Array(most >> 1);
  let slotsAbove = new Int32Array(most >> 1);
  let runsAbove = 0;
  let lastY = -2;

  let fields = new Int32Array(FIELDS * 64);
  let sums = new Float64Array(SUMS * 64);
  let parent = new Int32Array(64);
  let seen = new Int32Array(64);
  let used = 0;
  const free: number[] = [];

  const take = (): number => {
    const reused = free.pop();
    const slot = reused ?? used++;
    if (slot === parent.length) {
      const grow = (old: Int32Array): Int32Array<ArrayBuffer> => {
        const larger = new Int32Array(old.length * 2);
        larger.set(old);
        return larger;
      };
      fields = grow(fields);
      const largerSums = new Float64Array(sums.length * 2);
      largerSums.set(sums);
      sums = largerSums;
      parent = grow(parent);
      seen = grow(seen);
    }
    parent[slot] = slot;
    seen[slot] = -1;
    return slot;
  };
  const rootOf = (slot: number): number => {
    let root = slot;
    while (parent[root] !== root) root = parent[root]!;
    return root;
  };
  const join = (keep: number, drop: number): void => {
    const a = keep * FIELDS;
    const b = drop * FIELDS;
    for (let sum = 0; sum < SUMS; sum++) sums[keep * SUMS + sum]! += sums[drop * SUMS + sum]!;
    const earlierTop = fields[b + TOP]! < fields[a + TOP]!;
    const sameTop = fields[b + TOP]! === fields[a + TOP]!;
    if (earlierTop || (sameTop && fields[b + FIRST]! < fields[a + FIRST]!))
      fields[a + FIRST] = fields[b + FIRST]!;
    fields[a + LEFT] = Math.min(fields[a + LEFT]!, fields[b + LEFT]!);
    fields[a + TOP] = Math.min(fields[a + TOP]!, fields[b + TOP]!);
    fields[a + RIGHT] = Math.max(fields[a + RIGHT]!, fields[b + RIGHT]!);
    fields[a + BOTTOM] = Math.max(fields[a + BOTTOM]!, fields[b + BOTTOM]!);
    fields[a + MARK] = fields[a + MARK]! | fields[b + MARK]!;
    parent[drop] = keep;
  };
  const piece: Reused<Piece> = {
    areaPx: 0,
    left: 0,
    top: 0,
    right: 0,
    bottom: 0,
    firstX: 0,
    rowRuns: 0,
    columnRuns: 0,
    marked: false,
  };
  const close = (slot: number): void => {
    const at = slot * FIELDS;
    piece.areaPx = sums[slot * SUMS + AREA]!;
    piece.left = fields[at + LEFT]!;
    piece.top = fields[at + TOP]!;
    piece.right = fields[at + RIGHT]!;
    piece.bottom = fields[at + BOTTOM]!;
    piece.firstX = fields[at + FIRST]!;
    piece.rowRuns = sums[slot * SUMS + ROWS]!;
    piece.columnRuns = sums[slot * SUMS + COLUMNS]!;
    piece.marked = fields[at + MARK] !== 0;
    emit(piece);
  };

  /** Hands over the pieces of the row above that the row y did not carry on. */
  const closeUnseen = (y: number): void => {
    for (let j = 0; j < runsAbove; j++) {
      const root = rootOf(slotsAbove[j]!);
      if (seen[root] === y) continue;
      seen[root] = y;
      close(root);
      free.push(root);
    }
  };

  const end = (): void => {
    closeUnseen(lastY + 1);
    runsAbove = 0;
    used = 0;
    free.length = 0;
    lastY = -2;
  };

  const row: PieceFinder['row'] = (words, at, y, marks, marksAt = 0) => {
    if (y !== lastY + 1 && runsAbove > 0) end();
    lastY = y;
    const runs = findEdges(words, at, count, edges) >> 1;
    if (runs === 0 && runsAbove === 0) return;
    const joined: number[] = [];
    let j = 0;
    for (let i = 0; i < runs; i++) {
      const from = edges[2 * i]!;
      const to = edges[2 * i + 1]!;
      let slot = -1;
      let overlap = 0;
      while (j < runsAbove && above[2 * j + 1]! + reach <= from) j++;
      let q = j;
      for (; q < runsAbove && above[2 * q]! < to + reach; q++) {
        overlap += Math.max(0, Math.min(to, above[2 * q + 1]!) - Math.max(from, above[2 * q]!));
        const root = rootOf(slotsAbove[q]!);
        if (slot < 0) slot = root;
        else if (root !== slot) {
          join(slot, root);
          joined.push(root);
        }
      }
      if (q > j) j = q - 1; // the last one above may reach the next run too
      if (slot < 0) {
        slot = take();
        fields.fill(0, slot * FIELDS, slot * FIELDS + FIELDS);
        sums.fill(0, slot * SUMS, slot * SUMS + SUMS);
        fields[slot * FIELDS + LEFT] = from;
        fields[slot * FIELDS + TOP] = y;
        fields[slot * FIELDS + FIRST] = from;
      }
      const f = slot * FIELDS;
      fields[f + LEFT] = Math.min(fields[f + LEFT]!, from);
      fields[f + RIGHT] = Math.max(fields[f + RIGHT]!, to);
      fields[f + BOTTOM] = y + 1;
      const sum = slot * SUMS;
      sums[sum + AREA] = sums[sum + AREA]! + to - from;
      sums[sum + ROWS] = sums[sum + ROWS]! + 1;
      sums[sum + COLUMNS] = sums[sum + COLUMNS]! + to - from - overlap;
      if (marks !== undefined && fields[f + MARK] === 0 && anyMark(marks, marksAt, from, to))
        fields[f + MARK] = 1;
      slots[i] = slot;
    }
    for (let i = 0; i < runs; i++) {
      const root = rootOf(slots[i]!);
      slots[i] = root;
      seen[root] = y;
    }
    closeUnseen(y);
    for (const slot of joined) free.push(slot);
    [edges, above] = [above, edges];
    [slots, slotsAbove] = [slotsAbove, slots];
    runsAbove = runs;
  };

  return { row, end };
}
