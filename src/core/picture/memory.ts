import { BINS } from './judging.ts';
import { POWER_ROWS } from './peaks.ts';
import { TILE_PX } from './tiles.ts';

/**
 * Where everything lies, in bytes, that looking at a picture by WebAssembly takes: in one memory, as the first time that a page of it is
 * touched may cost as much as all that is done with it.
 */

/** Bytes of a row of numbers of 64 bits. */
export const ROW = 8 * TILE_PX;

/** Tables of counts by the first byte of tone, of 32 bits: so many, as neighbours are alike and one count would wait for the other. */
export const COUNT_TABLES = 4;
/** Where these tables are. */
export const COUNTS_AT = 0;
/** Bytes of one. */
export const TABLE = 4 * BINS;
/** Such tables of flat pixels. */
export const FLAT_TABLES = 2;
/** Where these are. */
export const FLATS_AT = COUNTS_AT + COUNT_TABLES * TABLE;
/** Bytes of one: there is a place for what does not count. */
export const FLAT_TABLE = TABLE + 16;
/** Four sums each of mid pixels, of flat ones and of those on ramps. */
export const JUDGED_AT = FLATS_AT + FLAT_TABLES * FLAT_TABLE;
/** Which of the judged pixels of a row there are. */
export const THERE_AT = JUDGED_AT + 48;
/** Columns for a judged row have room at both sides, where nothing is less or more. */
const GAP = 16;
const COLUMNS = TILE_PX + 2 * GAP;
/** Least tones of seven rows, for a judged row. */
export const LOWS_AT = THERE_AT + TILE_PX;
/** Those of odd columns. */
export const ODD_LOW_AT = LOWS_AT + GAP;
/** Those of pairs of columns. */
export const PAIR_LOW_AT = ODD_LOW_AT + COLUMNS;
/** Most tones of seven rows. */
export const HIGHS_AT = LOWS_AT + 2 * COLUMNS;
/** Those of odd columns. */
export const ODD_HIGH_AT = HIGHS_AT + GAP;
/** Those of pairs of columns. */
export const PAIR_HIGH_AT = ODD_HIGH_AT + COLUMNS;

/** The sums of a tile: four of its tones, then two of their squares, of 64 bits. */
export const TONE_SUMS_AT = HIGHS_AT + 2 * COLUMNS;
/** The mean of its tones. */
export const MEAN_AT = TONE_SUMS_AT + 32;
/** What squares are multiplied by. */
export const SCALE_AT = MEAN_AT + 8;
/** The window across. */
export const ACROSS_AT = SCALE_AT + 8;
/** The window down. */
export const DOWN_AT = ACROSS_AT + ROW;
/** Three turns of two numbers for each step of 128. */
export const DOWN_TURNS_AT = DOWN_AT + ROW;
/** The same of pairs of steps, for 128, 32, 8 and 2. */
export const ACROSS_TURNS_AT = DOWN_TURNS_AT + 48 * 128;
/** Where in a line frequencies come out, of 16 bits. */
export const PLACES_AT = ACROSS_TURNS_AT + 48 * (128 + 32 + 8 + 2);
/** A line that is transformed: real parts, then imaginary ones. */
export const LINE_AT = PLACES_AT + 2 * TILE_PX;

/** The sum of some numbers of the spectrum. */
export const SUM_AT = LINE_AT + 2 * ROW;
/** How many times a wave a sum of what is round it may be. */
export const LEAST_AT = SUM_AT + 16;
/** Where the list of likely waves ends. */
export const LIST_END_AT = LEAST_AT + 8;

/** Four sums of specks. */
export const SPECKS_AT = LIST_END_AT + 8;
/** Which pixels of a row are far enough from its ends. */
export const INSIDE_AT = SPECKS_AT + 16;

/** A tile, with three rows more in front of it and behind it; the last vector of a row may reach into what follows. */
export const TILE_AT = Math.ceil((INSIDE_AT + 2 * TILE_PX) / 64) * 64;
/** The spectrum. */
export const POWER_AT = TILE_AT + 2 * TILE_PX * (TILE_PX + 6) + 64;
/**
 * Rows of columns that are transformed: real parts, imaginary ones, and a gap, or the places of a column would share a few of the cache's.
 * Once all is transformed, the list of pairs of numbers that may be waves.
 */
export const SQUARE_AT = POWER_AT + ROW * POWER_ROWS;
/** Bytes of that gap. */
export const SQUARE_GAP = 64;
/** Bytes of it all. */
export const BYTES = SQUARE_AT + (ROW + SQUARE_GAP) * TILE_PX;
