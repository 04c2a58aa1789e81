import { andFromRight, orFromLeft } from '../../hold/words.ts';
import { createRing, type RowRing, type RowShape } from './rows.ts';

/** A rectangle of pixels that a mark or a land must be able to cover. */
export interface Stone {
  readonly x: number;
  readonly y: number;
}

/** Finds, row by row, what is too thin for a stone. */
export interface ThinRows {
  /** By how many rows `thin` comes behind the source. */
  readonly delayRows: number;
  readonly thin: RowRing;
  /** Takes row y of the source; row y − delayRows of `thin` is then ready. */
  step(y: number): void;
}

/** Joins every pixel with the `reach − 1` to its right, in place. */
function erodeAcross(words: Int32Array, at: number, stride: number, reach: number): void {
  for (let done = 1; done < reach; ) {
    const shift = Math.min(done, reach - done);
    andFromRight(words, at, at, stride, shift);
    done += shift;
  }
}

/** Spreads every pixel over the `reach − 1` to its right, in place. */
function dilateAcross(words: Int32Array, at: number, stride: number, reach: number): void {
  for (let done = 1; done < reach; ) {
    const shift = Math.min(done, reach - done);
    orFromLeft(words, at, at, stride, shift);
    done += shift;
  }
}

/**
 * Pixels of one side (`flip` 0: the set bits, −1: the others) that the stone, lying wholly inside that side, covers
 * nowhere. An opening (G. Matheron 1975, J. Serra 1982; from memory) taken from its source. `keepRows` rows of
 * `thin` stay readable, and the source must hold delayRows + 1.
 */
export function findThin(
  source: RowRing,
  shape: RowShape,
  flip: 0 | -1,
  stone: Stone,
  keepRows: number,
): ThinRows {
  const delayRows = stone.y - 1;
  const across = createRing(shape, stone.y);
  const fitting = createRing(shape, stone.y);
  const thin = createRing(shape, keepRows);
  const { stride } = source;
  const from = source.words;
  const rows = across.words;
  const fits = fitting.words;
  const out = thin.words;

  const step = (y: number): void => {
    const into = across.at(y);
    const start = source.at(y);
    for (let k = 0; k < stride; k++) rows[into + k] = from[start + k]! ^ flip;
    erodeAcross(rows, into, stride, stone.x);

    const top = y - delayRows;
    const anchor = fitting.at(top);
    for (let k = 0; k < stride; k++) fits[anchor + k] = rows[into + k]!;
    for (let j = top; j < y; j++) {
      const other = across.at(j);
      for (let k = 0; k < stride; k++) fits[anchor + k] = fits[anchor + k]! & rows[other + k]!;
    }
    dilateAcross(fits, anchor, stride, stone.x);

    const here = source.at(top);
    const to = thin.at(top);
    for (let k = 0; k < stride; k++) out[to + k] = (from[here + k]! ^ flip) & ~fits[anchor + k]!;
    for (let j = top - delayRows; j < top; j++) {
      const other = fitting.at(j);
      for (let k = 0; k < stride; k++) out[to + k] = out[to + k]! & ~fits[other + k]!;
    }
  };
  return { delayRows, thin, step };
}
