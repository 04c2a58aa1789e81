import { createRing, type RowRing, type RowShape } from './rows.ts';

/** A stone reaches into the next word and no further. */
export const WIDEST_STONE_PX = 32;

/** A rectangle of pixels that a mark or a land must be able to cover; at most `WIDEST_STONE_PX` across. */
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

/**
 * Pixels of one side (`flip` 0: the set bits, −1: the others) that the stone, lying wholly inside that side, covers
 * nowhere. An opening (G. Matheron 1975, J. Serra 1982; from memory) taken from its source. `keepRows` rows of
 * `thin` stay readable, and the source must hold delayRows + 1. Words that are all of one side, by far the most, take no loop.
 */
export function findThin(
  source: RowRing,
  shape: RowShape,
  flip: 0 | -1,
  stone: Stone,
  keepRows: number,
): ThinRows {
  const delayRows = stone.y - 1;
  const wide = stone.x;
  const across = createRing(shape, stone.y);
  const covering = createRing(shape, stone.y);
  const thin = createRing(shape, keepRows);
  const { stride, words: from } = source;
  const rows = across.words;
  const covers = covering.words;
  const out = thin.words;
  const rowsAbove = new Int32Array(delayRows);
  const coversAbove = new Int32Array(delayRows);

  const step = (y: number): void => {
    const top = y - delayRows;
    for (let j = 0; j < delayRows; j++) {
      rowsAbove[j] = across.at(top + j);
      coversAbove[j] = covering.at(top - delayRows + j);
    }
    const start = source.at(y);
    const into = across.at(y);
    const here = source.at(top);
    const anchor = covering.at(top);
    const to = thin.at(top);
    let word = from[start]! ^ flip;
    let fitBefore = 0;
    for (let k = 0; k < stride; k++) {
      // where the stone's top row fits from this pixel to the right, and all its rows below
      const next = k + 1 < stride ? from[start + k + 1]! ^ flip : 0;
      let fit = word;
      if (word !== 0 && (word & next) !== -1)
        for (let s = 1; s < wide; s++) fit &= (word << s) | (next >>> (32 - s));
      rows[into + k] = fit;
      if (fit !== 0) for (let j = 0; j < delayRows; j++) fit &= rows[rowsAbove[j]! + k]!;
      // what those stones cover in their top row, and with the rows of stones that begin above
      let cover = fit;
      if (fit !== -1 && (fit | fitBefore) !== 0)
        for (let s = 1; s < wide; s++) cover |= (fit >>> s) | (fitBefore << (32 - s));
      covers[anchor + k] = cover;
      const side = from[here + k]! ^ flip;
      if ((side & ~cover) === 0) out[to + k] = 0;
      else {
        for (let j = 0; j < delayRows; j++) cover |= covers[coversAbove[j]! + k]!;
        out[to + k] = side & ~cover;
      }
      word = next;
      fitBefore = fit;
    }
  };
  /** The same for the stone of 2 × 2, by far the most frequent, without inner loops. */
  const stepPairs = (y: number): void => {
    const into = across.at(y);
    const above = across.at(y - 1);
    const here = source.at(y - 1);
    const start = source.at(y);
    const anchor = covering.at(y - 1);
    const before = covering.at(y - 2);
    const to = thin.at(y - 1);
    let word = from[start]! ^ flip;
    let fitBefore = 0;
    for (let k = 0; k < stride; k++) {
      const next = k + 1 < stride ? from[start + k + 1]! ^ flip : 0;
      const pair = word & ((word << 1) | (next >>> 31));
      rows[into + k] = pair;
      const fit = pair & rows[above + k]!;
      const cover = fit | (fit >>> 1) | (fitBefore << 31);
      covers[anchor + k] = cover;
      out[to + k] = (from[here + k]! ^ flip) & ~(cover | covers[before + k]!);
      word = next;
      fitBefore = fit;
    }
  };
  return { delayRows, thin, step: wide === 2 && stone.y === 2 ? stepPairs : step };
}
