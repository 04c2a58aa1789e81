/** Shuffles of bytes that several kernels take, as WebAssembly's text: halves are of eight bytes. */

/** The latter half of a vector, in both places: of two alike on the stack. */
export const LATTER_HALF = 'i8x16.shuffle 8 9 10 11 12 13 14 15 8 9 10 11 12 13 14 15';

/** The first halves of two vectors, side by side. */
export const FIRST_HALVES = 'i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23';
