import type { Bitmap } from '../bitmap.ts';
import type { Box } from './clusters.ts';
import { findPieces } from './components.ts';
import { loadRow, type PlateSide } from './words.ts';

/** A band along a side of the plate in which nothing is etched, so that it takes ink like any wall. */
export interface KeptStrip extends Box {
  readonly thickPx: number;
}

/** The kept strips along the edges, corners with those above and below: all four make a ring. None if nothing is etched. */
export function keptStrips(map: Bitmap): KeptStrip[] {
  const { widthPx, heightPx } = map;
  const count = (widthPx + 31) >> 5;
  const words = new Int32Array(count);
  let top = -1;
  let bottom = 0;
  let left = widthPx;
  let right = 0;
  for (let y = 0; y < heightPx; y++) {
    loadRow(map, y, 0, 0, words, 0);
    let first = 0;
    while (first < count && words[first] === 0) first++;
    if (first === count) continue;
    let last = count - 1;
    while (words[last] === 0) last--;
    if (top < 0) top = y;
    bottom = y + 1;
    left = Math.min(left, first * 32 + Math.clz32(words[first]!));
    right = Math.max(right, last * 32 + Math.clz32(words[last]! & -words[last]!) + 1);
  }
  if (top < 0) return [];
  return [
    { left: 0, top: 0, right: widthPx, bottom: top, thickPx: top },
    { left: right, top, right: widthPx, bottom, thickPx: widthPx - right },
    { left: 0, top: bottom, right: widthPx, bottom: heightPx, thickPx: heightPx - bottom },
    { left: 0, top, right: left, bottom, thickPx: left },
  ].filter(({ thickPx }) => thickPx > 0);
}

/** Something that reaches into the band along the plate's edge. */
export interface EdgeMark extends Box {
  readonly areaPx: number;
  /** Pixels between it and the edge. */
  readonly clearPx: number;
}

/** All pieces of a side, as far as they lie within `bandPx` of the plate's edge (bevel or saw). */
export function findEdgeMarks(
  map: Bitmap,
  side: PlateSide,
  bandPx: number,
  emit: (mark: EdgeMark) => void,
): void {
  const { widthPx, heightPx } = map;
  const count = (widthPx + 31) >> 5;
  const flip = side === 'etched' ? 0 : -1;
  const words = new Int32Array(count);
  const sides = new Int32Array(count);
  for (let x = 0; x < widthPx; x++) {
    if (x < bandPx || x >= widthPx - bandPx) sides[x >> 5] = sides[x >> 5]! | (0x80000000 >>> (x & 31));
  }
  const finder = findPieces(widthPx, 8, ({ left, top, right, bottom, areaPx }) => {
    emit({
      left,
      top,
      right,
      bottom,
      areaPx,
      clearPx: Math.min(left, top, widthPx - right, heightPx - bottom),
    });
  });
  for (let y = 0; y < heightPx; y++) {
    loadRow(map, y, flip, 0, words, 0);
    if (y >= bandPx && y < heightPx - bandPx)
      for (let k = 0; k < count; k++) words[k] = words[k]! & sides[k]!;
    finder.row(words, 0, y);
  }
  finder.end();
}
