import type { Bitmap } from '../bitmap.ts';
import {
  andFromLeft,
  andFromRight,
  BLOCK_ROWS,
  createBlock,
  loadBlock,
  orFromLeft,
  orFromRight,
  type PlateSide,
  type WordBlock,
} from './words.ts';

/** What an opening left and took in one block of rows; buffers are used again for the next block. */
export interface OpenedBlock {
  /** First own row of the block, and how many it has. */
  readonly firstRow: number;
  readonly rows: number;
  readonly stride: number;
  /** Index of the word of pixel (0, firstRow) in `source` and `removed`. */
  readonly origin: number;
  /** The side itself; valid for the own rows and one row above and below. */
  readonly source: Int32Array;
  /** Pixels of the side that are too thin; valid in the same rows, 0 off the plate. */
  readonly removed: Int32Array;
  readonly anyRemoved: boolean;
}

/** What is opened, and by how much. */
export interface OpeningOptions {
  readonly side: PlateSide;
  /** Narrowest feature that holds, in pixels. */
  readonly widthPx: number;
  /** True where a feature that reaches the plate's edge counts as going on beyond it. */
  readonly goesOnOutside?: boolean;
  /** Tries the square alone, as where the octagon's better measure of slants is not wanted. */
  readonly squareOnly?: boolean;
}

/** An octagon of a given width across its flats: a square of `square` pixels grown `slant` steps along both diagonals. */
export interface Octagon {
  readonly square: number;
  readonly slant: number;
}

/**
 * The stone of the given width that is tried besides the square, so that slanting walls and round dots are not
 * called thin for their direction: 1 − 1/√2 of a regular octagon's width lies in each pair of slants.
 */
export function octagonFor(widthPx: number): Octagon {
  const slant = widthPx < 4 ? 0 : Math.round(widthPx * (1 - Math.SQRT1_2));
  return { square: widthPx - 2 * slant, slant };
}

const isBlank = (words: Int32Array): boolean => {
  for (let i = 0; i < words.length; i++) if (words[i] !== 0) return false;
  return true;
};

/*
 * Reaches are grown by doubling: after `done` pixels are joined, so many more are with one step. Functions of their own, and none
 * made on the way: what the engine has compiled of those is forgotten with them, and a plate calls for thousands.
 */

/** Keeps what has `reach` set pixels in a row from there on. */
function narrowAcross(words: Int32Array, stride: number, reach: number): void {
  for (let done = 1; done < reach; done += done) {
    const by = Math.min(done, reach - done);
    for (let at = 0; at < words.length; at += stride) andFromRight(words, at, at, stride, by);
  }
}

/** Keeps what has `reach` set rows from there on. */
function narrowDown(words: Int32Array, stride: number, reach: number): void {
  for (let done = 1; done < reach; done += done) {
    const drop = Math.min(done, reach - done) * stride;
    const end = words.length - drop;
    for (let i = 0; i < end; i++) words[i] = words[i]! & words[i + drop]!;
    words.fill(0, end);
  }
}

/** Keeps what has `reach` set pixels down a diagonal. */
function narrowAslant(words: Int32Array, stride: number, reach: number, and: typeof andFromRight): void {
  for (let done = 1; done < reach; done += done) {
    const by = Math.min(done, reach - done);
    const drop = by * stride;
    const end = words.length - drop;
    for (let at = 0; at < end; at += stride) and(words, at, at + drop, stride, by);
    words.fill(0, end);
  }
}

/** Leaves the anchors (left end of the top row) of all places where the stone fits; false where there are none. */
function erode(words: Int32Array, stride: number, { square, slant }: Octagon): boolean {
  narrowAcross(words, stride, square);
  narrowDown(words, stride, square);
  if (isBlank(words)) return false;
  if (slant === 0) return true;
  narrowAslant(words, stride, slant + 1, andFromRight);
  narrowAslant(words, stride, slant + 1, andFromLeft);
  return !isBlank(words);
}

/** Undoes `narrowAslant`. */
function widenAslant(words: Int32Array, stride: number, reach: number, or: typeof orFromRight): void {
  for (let done = 1; done < reach; done += done) {
    const by = Math.min(done, reach - done);
    const drop = by * stride;
    for (let at = words.length - stride; at >= drop; at -= stride) or(words, at, at - drop, stride, by);
  }
}

/** Undoes `narrowDown`. */
function widenDown(words: Int32Array, stride: number, reach: number): void {
  for (let done = 1; done < reach; done += done) {
    const drop = Math.min(done, reach - done) * stride;
    for (let i = words.length - 1; i >= drop; i--) words[i] = words[i]! | words[i - drop]!;
  }
}

/** Undoes `narrowAcross`. */
function widenAcross(words: Int32Array, stride: number, reach: number): void {
  for (let done = 1; done < reach; done += done) {
    const by = Math.min(done, reach - done);
    for (let at = 0; at < words.length; at += stride) orFromLeft(words, at, at, stride, by);
  }
}

/** Undoes `erode` from the anchors: every pixel that a fitting stone covers. */
function dilate(words: Int32Array, stride: number, { square, slant }: Octagon): void {
  widenAslant(words, stride, slant + 1, orFromRight);
  widenAslant(words, stride, slant + 1, orFromLeft);
  widenDown(words, stride, square);
  widenAcross(words, stride, square);
}

/** Leaves of rows of words what the stone covers somewhere inside; what lies beyond them counts as nothing. False if that is blank. */
export function openWords(words: Int32Array, stride: number, stone: Octagon): boolean {
  if (!erode(words, stride, stone)) return false;
  dilate(words, stride, stone);
  return true;
}

/** Takes from `removed` every pixel that the stone covers somewhere inside the source. */
function spare(block: WordBlock, opened: Int32Array, removed: Int32Array, stone: Octagon): void {
  opened.set(block.words);
  if (!openWords(opened, block.stride, stone)) return;
  for (let i = 0; i < removed.length; i++) removed[i] = removed[i]! & ~opened[i]!;
}

/** Zeroes everything of `removed` that is not a pixel of the plate. Returns true if own rows hold anything. */
function trim(map: Bitmap, block: WordBlock, removed: Int32Array, firstRow: number, rows: number): boolean {
  const { stride, guard, halo } = block;
  const lastWord = guard + ((map.widthPx - 1) >> 5);
  const used = -1 << (31 - ((map.widthPx - 1) & 31));
  let any = 0;
  for (let i = halo - 1; i <= halo + rows; i++) {
    const at = i * stride;
    const y = firstRow - halo + i;
    if (y < 0 || y >= map.heightPx) {
      removed.fill(0, at, at + stride);
      continue;
    }
    removed.fill(0, at, at + guard);
    removed.fill(0, at + lastWord + 1, at + stride);
    removed[at + lastWord] = removed[at + lastWord]! & used;
    if (i < halo || i === halo + rows) continue;
    for (let k = at + guard; k <= at + lastWord; k++) any |= removed[k]!;
  }
  return any !== 0;
}

/**
 * Everything of one side that is thinner than `widthPx`, block by block from the top: pixels that neither a
 * square nor an octagon of that width, lying wholly inside the side, can cover. Openings after G. Matheron
 * 1975 and J. Serra 1982 (from memory); long stones are built by doubling shorter ones.
 */
export function eachOpened(map: Bitmap, options: OpeningOptions, visit: (block: OpenedBlock) => void): void {
  const { side, widthPx, goesOnOutside = false, squareOnly = false } = options;
  const square = { square: widthPx, slant: 0 };
  const octagon = octagonFor(widthPx);
  const rows = BLOCK_ROWS;
  const block = createBlock(map, rows, widthPx, widthPx);
  const opened = new Int32Array(block.words.length);
  const removed = new Int32Array(block.words.length);
  for (let firstRow = 0; firstRow < map.heightPx; firstRow += rows) {
    const own = Math.min(rows, map.heightPx - firstRow);
    loadBlock(block, map, side, firstRow, goesOnOutside ? -1 : 0);
    removed.set(block.words);
    spare(block, opened, removed, square);
    let anyRemoved = trim(map, block, removed, firstRow, own);
    if (anyRemoved && octagon.slant > 0 && !squareOnly) {
      spare(block, opened, removed, octagon);
      anyRemoved = trim(map, block, removed, firstRow, own);
    }
    const origin = block.halo * block.stride + block.guard;
    visit({ firstRow, rows: own, stride: block.stride, origin, source: block.words, removed, anyRemoved });
  }
}
