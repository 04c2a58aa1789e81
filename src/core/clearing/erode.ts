import type { Bitmap } from '../bitmap.ts';

/** Rows whose distances are kept at a time, at least. */
const BLOCK_ROWS = 128;

/** Reach of what is too far away to matter: below any column. */
export const NONE = -0x40000000;

/** Which pixels of a bitmap go: those too near to others. */
export interface Erosion {
  /** Pixels of the bitmap that may stay: those that are set, or those that are not. */
  readonly keep: 0 | 1;
  /** Distance to the nearest other pixel from which on a pixel stays, in pixels. */
  readonly radiusPx: number;
  /** Distances from edge to edge of pixels, or from middle to middle. */
  readonly between: 'edges' | 'middles';
  /** Whether what lies off the bitmap counts as other pixels. */
  readonly outside: 'wall' | 'open';
}

/** How far to both sides a pixel that is `v` rows away reaches, by v; a pixel always reaches itself. */
export function reachTable(radiusPx: number, between: Erosion['between']): Int32Array {
  const slack = between === 'edges' ? 1 : 0;
  const table = new Int32Array(Math.ceil(radiusPx) + slack + 1).fill(NONE);
  for (let v = 0; v < table.length; v++) {
    const across = Math.max(0, v - slack);
    if (across < radiusPx) table[v] = Math.ceil(Math.sqrt(radiusPx ** 2 - across ** 2) + slack) - 1;
  }
  table[0] = Math.max(0, table[0]!);
  return table;
}

/**
 * Hands on, row by row, which pixels of a bitmap are no nearer than a radius to any that is not to stay: a byte each, 1 = stays;
 * the buffer is used again. Exact Euclidean distances: the nearest other pixel of each column is known from above and from
 * below, and reaches sideways as far as Pythagoras lets it; one sweep to the right and one to the left gather that.
 */
export function eachEroded(map: Bitmap, erosion: Erosion, take: (row: Uint8Array, y: number) => void): void {
  const { widthPx, heightPx } = map;
  const reach = reachTable(erosion.radiusPx, erosion.between);
  const far = reach.length;
  const walled = erosion.outside === 'wall';
  const beside = walled ? reach[0]! : 0;
  // one more entry for all that is farther
  const reachAt = new Int32Array(far + 1).fill(NONE);
  reachAt.set(reach);
  const blockRows = Math.max(BLOCK_ROWS, far);
  const below = new Uint16Array(blockRows * widthPx);
  const running = new Uint16Array(widthPx);
  const above = new Uint16Array(widthPx).fill(walled ? 0 : far);
  const reaches = new Int32Array(widthPx);
  const row = new Uint8Array(widthPx);
  for (let top = 0; top < heightPx; top += blockRows) {
    const bottom = Math.min(top + blockRows, heightPx);
    const ahead = Math.min(bottom + far, heightPx);
    running.fill(ahead === heightPx && walled ? 0 : far);
    for (let y = ahead - 1; y >= top; y--) {
      count(map, y, erosion.keep, far, running);
      if (y < bottom) below.set(running, (y - top) * widthPx);
    }
    for (let y = top; y < bottom; y++) {
      count(map, y, erosion.keep, far, above);
      const at = (y - top) * widthPx;
      for (let x = 0, covered = beside - 1; x < widthPx; x++) {
        const up = above[x]!;
        const down = below[at + x]!;
        const sideways = reachAt[up < down ? up : down]!;
        reaches[x] = sideways;
        if (x + sideways > covered) covered = x + sideways;
        row[x] = x <= covered ? 0 : 1;
      }
      for (let x = widthPx - 1, covered = widthPx - beside; x >= 0; x--) {
        const to = x - reaches[x]!;
        if (to < covered) covered = to;
        if (x >= covered) row[x] = 0;
      }
      take(row, y);
    }
  }
}

/** Goes on to row `y`: rows since the last other pixel of each column, at most `far`. */
function count(
  { data, strideBytes, widthPx }: Bitmap,
  y: number,
  keep: 0 | 1,
  far: number,
  rows: Uint16Array,
): void {
  const at = y * strideBytes;
  const flip = keep === 1 ? 0 : 0xff;
  for (let x = 0; x < widthPx; x++) {
    const stays = ((data[at + (x >> 3)]! ^ flip) >> (7 - (x & 7))) & 1;
    const next = rows[x]! + 1;
    rows[x] = stays === 0 ? 0 : next < far ? next : far;
  }
}
