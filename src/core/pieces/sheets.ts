import type { Border } from './borders.ts';
import { OUTSIDE } from './borders.ts';

/**
 * Which sheet each piece is cut from, from 0, so that no two that share a border come from the same: the gap of a cut is
 * then closed by cutting each half a kerf larger. A piece takes the first sheet that none of its neighbours has, those
 * with most neighbours first; pieces in a row need two sheets, three around one point need three.
 */
export function sheetsFor(borders: readonly Border[], pieces: number): Int32Array {
  const neighbours = Array.from({ length: pieces }, () => new Set<number>());
  for (const { left, right } of borders)
    if (left !== OUTSIDE && right !== OUTSIDE) {
      neighbours[left]!.add(right);
      neighbours[right]!.add(left);
    }
  const sheets = new Int32Array(pieces).fill(-1);
  const taken = (piece: number): number =>
    new Set([...neighbours[piece]!].map((other) => sheets[other]!)).size;
  for (let placed = 0; placed < pieces; placed++) {
    // most sheets taken by its neighbours first, then most neighbours: D. Brélaz, Comm. ACM 22 (1979) 251
    let next = -1;
    for (let piece = 0; piece < pieces; piece++) {
      if (sheets[piece]! >= 0) continue;
      if (
        next < 0 ||
        taken(piece) > taken(next) ||
        (taken(piece) === taken(next) && neighbours[piece]!.size > neighbours[next]!.size)
      )
        next = piece;
    }
    let sheet = 0;
    while ([...neighbours[next]!].some((other) => sheets[other] === sheet)) sheet++;
    sheets[next] = sheet;
  }
  return sheets;
}
