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

/** Takes rows, and tells each connected piece as soon as no further row can touch it. */
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

/** What is known of the pieces that are still open. A row of numbers each: as objects, hundreds of thousands would be kept. */
interface Open {
  /** `FIELDS` numbers a slot. */
  fields: Int32Array;
  /** `SUMS` numbers a slot. */
  sums: Float64Array;
  parent: Int32Array;
  /** The last row that carried on the piece. */
  seen: Int32Array;
  used: number;
  readonly free: number[];
}

function larger(old: Int32Array): Int32Array {
  const grown = new Int32Array(old.length * 2);
  grown.set(old);
  return grown;
}

function largerSums(old: Float64Array): Float64Array {
  const grown = new Float64Array(old.length * 2);
  grown.set(old);
  return grown;
}

/** A slot for a new piece that begins at (x, y). */
function takeSlot(open: Open, x: number, y: number): number {
  const slot = open.free.pop() ?? open.used++;
  if (slot === open.parent.length) {
    open.fields = larger(open.fields);
    open.sums = largerSums(open.sums);
    open.parent = larger(open.parent);
    open.seen = larger(open.seen);
  }
  open.parent[slot] = slot;
  open.seen[slot] = -1;
  const at = slot * FIELDS;
  open.fields.fill(0, at, at + FIELDS);
  open.sums.fill(0, slot * SUMS, slot * SUMS + SUMS);
  open.fields[at + LEFT] = x;
  open.fields[at + TOP] = y;
  open.fields[at + FIRST] = x;
  return slot;
}

function rootOf(parent: Int32Array, slot: number): number {
  let root = slot;
  while (parent[root] !== root) root = parent[root]!;
  return root;
}

function joinSlots({ fields, sums, parent }: Open, keep: number, drop: number): void {
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
}

function readSlot({ fields, sums }: Open, slot: number, piece: Reused<Piece>): void {
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
}

/** The runs of a row: where each begins and ends, and the slot of its piece. */
interface Runs {
  readonly edges: Int32Array;
  readonly slots: Int32Array;
}

/** Gives each run of a row the slot of its piece, joining those of the row above that it touches; returns the slots that were joined to others. */
function linkRuns(
  open: Open,
  { edges, slots }: Runs,
  runs: number,
  above: Runs,
  runsAbove: number,
  y: number,
  reach: 0 | 1,
  marks: Int32Array | undefined,
  marksAt: number,
): number[] {
  const joined: number[] = [];
  let j = 0;
  for (let i = 0; i < runs; i++) {
    const from = edges[2 * i]!;
    const to = edges[2 * i + 1]!;
    let slot = -1;
    let overlap = 0;
    while (j < runsAbove && above.edges[2 * j + 1]! + reach <= from) j++;
    let q = j;
    for (; q < runsAbove && above.edges[2 * q]! < to + reach; q++) {
      overlap += Math.max(0, Math.min(to, above.edges[2 * q + 1]!) - Math.max(from, above.edges[2 * q]!));
      const root = rootOf(open.parent, above.slots[q]!);
      if (slot < 0) slot = root;
      else if (root !== slot) {
        joinSlots(open, slot, root);
        joined.push(root);
      }
    }
    if (q > j) j = q - 1; // the last one above may reach the next run too
    if (slot < 0) slot = takeSlot(open, from, y);
    const { fields, sums } = open;
    const f = slot * FIELDS;
    const s = slot * SUMS;
    sums[s + AREA] = sums[s + AREA]! + to - from;
    sums[s + ROWS] = sums[s + ROWS]! + 1;
    sums[s + COLUMNS] = sums[s + COLUMNS]! + to - from - overlap;
    fields[f + LEFT] = Math.min(fields[f + LEFT]!, from);
    fields[f + RIGHT] = Math.max(fields[f + RIGHT]!, to);
    fields[f + BOTTOM] = y + 1;
    if (marks !== undefined && fields[f + MARK] === 0 && anyMark(marks, marksAt, from, to))
      fields[f + MARK] = 1;
    slots[i] = slot;
  }
  for (let i = 0; i < runs; i++) {
    const root = rootOf(open.parent, slots[i]!);
    slots[i] = root;
    open.seen[root] = y;
  }
  return joined;
}

/** Hands over the pieces of the row above that the row y did not carry on. */
function closeUnseen(
  open: Open,
  above: Int32Array,
  runsAbove: number,
  y: number,
  piece: Reused<Piece>,
  emit: (piece: Piece) => void,
): void {
  const { parent, seen, free } = open;
  for (let j = 0; j < runsAbove; j++) {
    const root = rootOf(parent, above[j]!);
    if (seen[root] === y) continue;
    seen[root] = y;
    readSlot(open, root, piece);
    emit(piece);
    free.push(root);
  }
}

/**
 * Finds the connected pieces of a drawing that comes row by row and hands each over once it is closed. Runs are
 * joined by union-find with those of the row before only (after A. Rosenfeld & J. L. Pfaltz, J. ACM 13, 1966; from memory),
 * so memory follows the width, not the plate. `emit` is given the same object every time, and copies what it keeps.
 */
export function findPieces(widthPx: number, neighbours: 4 | 8, emit: (piece: Piece) => void): PieceFinder {
  const count = (widthPx + 31) >> 5;
  const reach = neighbours === 8 ? 1 : 0;
  const most = count * 32 + 2;
  const newRuns = (): Runs => ({ edges: new Int32Array(most), slots: new Int32Array(most >> 1) });
  const open: Open = {
    fields: new Int32Array(FIELDS * 64),
    sums: new Float64Array(SUMS * 64),
    parent: new Int32Array(64),
    seen: new Int32Array(64),
    used: 0,
    free: [],
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
  let here = newRuns();
  let above = newRuns();
  let runsAbove = 0;
  let lastY = -2;

  const end = (): void => {
    closeUnseen(open, above.slots, runsAbove, lastY + 1, piece, emit);
    runsAbove = 0;
    open.used = 0;
    open.free.length = 0;
    lastY = -2;
  };

  const row: PieceFinder['row'] = (words, at, y, marks, marksAt = 0) => {
    if (y !== lastY + 1 && runsAbove > 0) end();
    lastY = y;
    const runs = findEdges(words, at, count, here.edges) >> 1;
    if (runs === 0 && runsAbove === 0) return;
    const joined = linkRuns(open, here, runs, above, runsAbove, y, reach, marks, marksAt);
    closeUnseen(open, above.slots, runsAbove, y, piece, emit);
    for (const slot of joined) open.free.push(slot);
    [here, above] = [above, here];
    runsAbove = runs;
  };

  return { row, end };
}
