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

export interface Clusterer {
  add(box: Box, count: number, areaPx: number, measurePx: number): void;
  clusters(): Cluster[];
}

/** How far a measure lies beyond its limit decides which of two is worse. */
export type Worse = (a: number, b: number) => boolean;

/**
 * Gathers pieces whose boxes lie within about `nearPx` of each other (never farther than twice that). A grid of
 * such cells remembers who was there; pieces that meet in a cell become one cluster.
 */
export function createClusterer(
  plate: { readonly widthPx: number; readonly heightPx: number },
  nearPx: number,
  worse: Worse,
): Clusterer {
  const cell = Math.max(8, Math.round(nearPx));
  const half = cell >> 1;
  const columns = Math.ceil(plate.widthPx / cell);
  const rows = Math.ceil(plate.heightPx / cell);
  const owner = new Int32Array(columns * rows).fill(-1);
  const parent: number[] = [];
  const found: Cluster[] = [];

  const rootOf = (id: number): number => {
    let root = id;
    while (parent[root] !== root) {
      parent[root] = parent[parent[root]!]!;
      root = parent[root]!;
    }
    return root;
  };
  const joined = (a: Cluster, b: Cluster): Cluster => ({
    left: Math.min(a.left, b.left),
    top: Math.min(a.top, b.top),
    right: Math.max(a.right, b.right),
    bottom: Math.max(a.bottom, b.bottom),
    count: a.count + b.count,
    areaPx: a.areaPx + b.areaPx,
    worstPx: worse(a.worstPx, b.worstPx) ? a.worstPx : b.worstPx,
  });

  return {
    add(box, count, areaPx, measurePx) {
      const { left, top, right, bottom } = box;
      const piece = { left, top, right, bottom, count, areaPx, worstPx: measurePx };
      let id = -1;
      const firstColumn = Math.max(0, Math.floor((left - half) / cell));
      const lastColumn = Math.min(columns - 1, Math.floor((right - 1 + half) / cell));
      const firstRow = Math.max(0, Math.floor((top - half) / cell));
      const lastRow = Math.min(rows - 1, Math.floor((bottom - 1 + half) / cell));
      for (let r = firstRow; r <= lastRow; r++) {
        for (let c = firstColumn; c <= lastColumn; c++) {
          const at = r * columns + c;
          if (owner[at] !== -1) {
            const other = rootOf(owner[at]!);
            if (id === -1) {
              id = other;
              found[id] = joined(found[id]!, piece);
            } else if (other !== id) {
              found[id] = joined(found[id]!, found[other]!);
              parent[other] = id;
            }
          }
        }
      }
      if (id === -1) {
        id = parent.length;
        parent.push(id);
        found.push(piece);
      }
      for (let r = firstRow; r <= lastRow; r++)
        owner.fill(id, r * columns + firstColumn, r * columns + lastColumn + 1);
    },
    clusters: () => found.filter((_, id) => parent[id] === id),
  };
}
