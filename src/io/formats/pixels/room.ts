/** Where everything lies in the memory in which rows of pixels are packed. */

/** Bytes of a pixel: red, green, blue. */
export const PIXEL = 3;

/** Places of colours, by eleven bits of a product with an odd number, that of Knuth's multiplicative hashing; of pairs of colours, by twelve of the sum of two. */
export const PLACE_SHIFT = 19;
export const PLACE_MASK = 4 * (2048 - 1);
export const FACTOR = 0x9e3779b1 | 0;
export const PAIR_SHIFT = 18;
export const PAIR_MASK = 4 * (4096 - 1);
export const PAIR_FACTOR = 0x85ebca6b | 0;
/** All places, those of colours first. */
export const PLACES = 2048 + 4096;
export const PAIRS_AT = 4 * 2048;

/** Longest match that is whole pixels, and how far back one may lie (RFC 1951, 3.2.5). */
export const MOST_MATCH = 258;
export const MOST_BACK = 32_768;

/** Literals, lengths and distances in counts and codes. */
export const LITERALS = 256;
export const LENGTHS = MOST_MATCH + 1;
export const DISTANCES = 30;

const ALL = LITERALS + LENGTHS + DISTANCES;
/** How often each occurs: literals, lengths, symbols of distance. */
export const COUNTS_AT = 4 * PLACES;
/** Likewise the bits of each, their number in the highest byte. */
export const CODES_AT = COUNTS_AT + 4 * ALL;
/** Offsets within both. */
export const LENGTHS_IN = 4 * LITERALS;
export const DISTANCES_IN = LENGTHS_IN + 4 * LENGTHS;
/** The next token, bits that wait, their number, the next packed byte: addresses and numbers of 32 bits. */
export const STATE_AT = CODES_AT + 4 * ALL;
/** Rows begin so far back that a place nobody has taken, 0, is out of reach. */
export const ROWS_AT = 65_536;

/** Rows that share a code. */
export const BLOCK_ROWS = 16;

/** A token is a match (length << 16 | distance − 1), a pixel of literals below 0, or this: the byte in front of a row, which is 0. */
export const ROW_TOKEN = 0;

/** Bytes that a pixel, a row and what tells a block's code take at most when they are packed: five, two and fewer than 300; words are written whole. */
const packedMost = (rowBytes: number): number => BLOCK_ROWS * (5 * Math.ceil(rowBytes / PIXEL) + 2) + 600;

/** Addresses for so many rows, of which a block at a time is packed. */
export function layRoom(rowBytes: number, rows: number) {
  // words are read at each pixel and the one behind it
  const tokensAt = (ROWS_AT + rows * rowBytes + PIXEL + 1 + 3) & ~3;
  const packedAt = tokensAt + 4 * BLOCK_ROWS * Math.ceil(rowBytes / PIXEL);
  return { tokensAt, packedAt, bytes: packedAt + packedMost(rowBytes) };
}
