/** A box of pixels; `right` and `bottom` are the first ones beyond it. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Something that does not hold: pieces lying near each other, as one place to look at. */
export interface Cluster extends Box {
  readonly count: number;
  readonly areaPx: number;
  /** Narrowest or, for what is too wide, widest measure among them, whichever is worse. */
  readonly worstPx: number;
}

/** Gathers pieces to clusters as they are found. */
export interface Clusterer {
  add(box: Box, count: number, areaPx: number, measurePx: number): void;
  clusters(): Cluster[];
}

/** How far a measure lies beyond its limit decides which of two is worse. */
export type Worse = (a: number, b: number) => boolean;

const FIELDS = 7;
const [LEFT, TOP, RIGHT, BOTTOM, COUNT, AREA, WORST] = [0, 1, 2, 3, 4, 5, 6] as const;

interface Clusters {
  /** Side of a cell of the grid, in pixels. */
  readonly cell: number;
  readonly columns: number;
  readonly rows: number;
  readonly worse: Worse;
  /** The cluster that was last in each cell, −1 for none. */
  readonly owner: Int32Array;
  parent: Int32Array;
  /** `FIELDS` numbers a cluster. */
  fields: Float64Array;
  ids: number;
}

function rootOf(parent: Int32Array, id: number): number {
  let root = id;
  while (parent[root] !== root) {
    parent[root] = parent[parent[root]!]!;
    root = parent[root]!;
  }
  return root;
}

function takeId(state: Clusters): number {
  const { parent, fields, ids } = state;
  if (ids === parent.length) {
    state.parent = new Int32Array(2 * ids);
    state.fields = new Float64Array(FIELDS * 2 * ids);
    state.parent.set(parent);
    state.fields.set(fields);
  }
  state.parent[ids] = ids;
  state.ids++;
  return ids;
}

function widen(
  { fields, worse }: Clusters,
  id: number,
  left: number,
  top: number,
  right: number,
  bottom: number,
  count: number,
  areaPx: number,
  worstPx: number,
): void {
  const at = id * FIELDS;
  if (left < fields[at + LEFT]!) fields[at + LEFT] = left;
  if (top < fields[at + TOP]!) fields[at + TOP] = top;
  if (right > fields[at + RIGHT]!) fields[at + RIGHT] = right;
  if (bottom > fields[at + BOTTOM]!) fields[at + BOTTOM] = bottom;
  fields[at + COUNT]! += count;
  fields[at + AREA]! += areaPx;
  if (worse(worstPx, fields[at + WORST]!)) fields[at + WORST] = worstPx;
}

function join(state: Clusters, id: number, other: number): void {
  const f = state.fields;
  const at = other * FIELDS;
  const [left, top, right, bottom] = [f[at + LEFT]!, f[at + TOP]!, f[at + RIGHT]!, f[at + BOTTOM]!];
  widen(state, id, left, top, right, bottom, f[at + COUNT]!, f[at + AREA]!, f[at + WORST]!);
  state.parent[other] = id;
}

function addPiece(
  state: Clusters,
  left: number,
  top: number,
  right: number,
  bottom: number,
  count: number,
  areaPx: number,
  measurePx: number,
): void {
  const { cell, columns, rows, owner } = state;
  const half = cell >> 1;
  let id = -1;
  const firstColumn = Math.max(0, Math.floor((left - half) / cell));
  const lastColumn = Math.min(columns - 1, Math.floor((right - 1 + half) / cell));
  const firstRow = Math.max(0, Math.floor((top - half) / cell));
  const lastRow = Math.min(rows - 1, Math.floor((bottom - 1 + half) / cell));
  for (let r = firstRow; r <= lastRow; r++) {
    for (let c = firstColumn; c <= lastColumn; c++) {
      const at = r * columns + c;
      if (owner[at] === -1) continue;
      const other = rootOf(state.parent, owner[at]!);
      if (id === -1) id = other;
      else if (other !== id) join(state, id, other);
    }
  }
  if (id !== -1) widen(state, id, left, top, right, bottom, count, areaPx, measurePx);
  else {
    id = takeId(state);
    state.fields.set([left, top, right, bottom, count, areaPx, measurePx], id * FIELDS);
  }
  for (let r = firstRow; r <= lastRow; r++)
    owner.fill(id, r * columns + firstColumn, r * columns + lastColumn + 1);
}

/**
 * Gathers pieces whose boxes lie within about `nearPx` of each other (never farther than twice that). A grid of
 * such cells remembers who was there; pieces that meet in a cell become one cluster. A tone has hundreds of thousands
 * of pieces, so clusters are rows of numbers: as objects they took 40 MB at 279 million pixels.
 */
export function createClusterer(
  plate: { readonly widthPx: number; readonly heightPx: number },
  nearPx: number,
  worse: Worse,
): Clusterer {
  const cell = Math.max(8, Math.round(nearPx));
  const columns = Math.ceil(plate.widthPx / cell);
  const rows = Math.ceil(plate.heightPx / cell);
  const state: Clusters = {
    cell,
    columns,
    rows,
    worse,
    owner: new Int32Array(columns * rows).fill(-1),
    parent: new Int32Array(64),
    fields: new Float64Array(FIELDS * 64),
    ids: 0,
  };
  return {
    add: ({ left, top, right, bottom }, count, areaPx, measurePx) =>
      addPiece(state, left, top, right, bottom, count, areaPx, measurePx),
    clusters() {
      const { fields, parent, ids } = state;
      const found: Cluster[] = [];
      for (let id = 0, at = 0; id < ids; id++, at += FIELDS)
        if (parent[id] === id)
          found.push({
            left: fields[at + LEFT]!,
            top: fields[at + TOP]!,
            right: fields[at + RIGHT]!,
            bottom: fields[at + BOTTOM]!,
            count: fields[at + COUNT]!,
            areaPx: fields[at + AREA]!,
            worstPx: fields[at + WORST]!,
          });
      return found;
    },
  };
}
