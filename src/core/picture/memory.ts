import { BINS } from './judging.ts';
import { POWER_ROWS } from './peaks.ts';
import { TILE_PX } from './tiles.ts';

/**
 * Where everything lies, in bytes, that looking at a picture by WebAssembly takes: in one memory, as the first time that a page of it is
 * touched may cost as much as all that is done with it.
 */

/** Bytes of a row of numbers of 64 bits. */
export const ROW = 8 * TILE_PX;

/* Counting and judging. Tables of counts by the first byte of tone, of 32 bits; those of flat pixels have a place for what does not count. */
export const COUNT_TABLES = 4;
export const COUNTS_AT = 0;
export const TABLE = 4 * BINS;
export const FLAT_TABLES = 2;
export const FLATS_AT = COUNTS_AT + COUNT_TABLES * TABLE;
export const FLAT_TABLE = TABLE + 16;
/** Four sums each of mid pixels, of flat ones and of those on ramps. */
export const JUDGED_AT = FLATS_AT + FLAT_TABLES * FLAT_TABLE;
/** Which of the judged pixels of a row there are. */
export const THERE_AT = JUDGED_AT + 48;
/** Least and most tone of seven rows, for a judged row: of odd columns, and of pairs of columns, with room at both sides. */
const GAP = 16;
const COLUMNS = TILE_PX + 2 * GAP;
export const LOWS_AT = THERE_AT + TILE_PX;
export const ODD_LOW_AT = LOWS_AT + GAP;
export const PAIR_LOW_AT = ODD_LOW_AT + COLUMNS;
export const HIGHS_AT = LOWS_AT + 2 * COLUMNS;
export const ODD_HIGH_AT = HIGHS_AT + GAP;
export const PAIR_HIGH_AT = ODD_HIGH_AT + COLUMNS;
const JUDGING_END = HIGHS_AT + 2 * COLUMNS;

/* Spectra. The sums of a tile: four of its tones, then two of their squares, of 64 bits; single numbers, and the window. */
export const TONE_SUMS_AT = JUDGING_END;
export const MEAN_AT = TONE_SUMS_AT + 32;
export const SCALE_AT = MEAN_AT + 8;
export const ACROSS_AT = SCALE_AT + 8;
export const DOWN_AT = ACROSS_AT + ROW;
/** Three turns of two numbers for each step of 128; of pairs of steps for 128, 32, 8 and 2. */
export const DOWN_TURNS_AT = DOWN_AT + ROW;
export const ACROSS_TURNS_AT = DOWN_TURNS_AT + 48 * 128;
const ACROSS_TURNS_END = ACROSS_TURNS_AT + 48 * (128 + 32 + 8 + 2);
/** Where in a line frequencies come out. */
export const PLACES_AT = ACROSS_TURNS_END;
/** A line that is transformed: real parts, then imaginary ones. */
export const LINE_AT = PLACES_AT + 2 * TILE_PX;

/* Waves. */
export const SUM_AT = LINE_AT + 2 * ROW;
export const LEAST_AT = SUM_AT + 16;
export const LIST_END_AT = LEAST_AT + 8;

/* Specks: four sums, and which pixels of a row are far enough from its ends. */
export const SPECKS_AT = LIST_END_AT + 8;
export const INSIDE_AT = SPECKS_AT + 16;

/** A tile, with three rows more in front of it and behind it; the last vector of a row may reach into what follows. */
export const TILE_AT = Math.ceil((INSIDE_AT + 2 * TILE_PX) / 64) * 64;
export const POWER_AT = TILE_AT + 2 * TILE_PX * (TILE_PX + 6) + 64;
export const POWER_END = POWER_AT + ROW * POWER_ROWS;
/** Rows of columns that are transformed: real parts, imaginary ones, and a gap, or the places of a column would share a few of the cache's. */
export const SQUARE_AT = POWER_END;
export const SQUARE_GAP = 64;
/** Of pairs of numbers that may be waves: once all is transformed, in the place of that. */
export const LIST_AT = SQUARE_AT;
export const BYTES = SQUARE_AT + (ROW + SQUARE_GAP) * TILE_PX;
