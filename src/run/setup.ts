import type { Bitmap } from '../core/bitmap.ts';
import type { Orientation } from '../core/geometry-orientation.ts';
import type { Draws } from '../core/screens/contract.ts';
import type { SourceCodes } from '../core/tone.ts';
import type { PlateHead } from '../io/formats/contract.ts';
import type { FormatKind } from '../io/formats/index.ts';
import type { Scratch } from '../io/scratch.ts';
import type { Plan } from '../job/plan.ts';

/**
 * Rows in one piece of work. A constant and never derived from the number of cores, so that one worker or
 * eight make the same bytes.
 */
export const BAND_ROWS = 1024;

/** Likewise for tone, of which no more than a few bands ever exist: 1.5 MB a band of 600 mm at 1,000 dpi. */
const TONE_BAND_ROWS = 64;

export const bandRowsFor: Readonly<Record<Draws, number>> = { bits: BAND_ROWS, tone: TONE_BAND_ROWS };

export const bandsIn = (rows: number, bandRows = BAND_ROWS): number => Math.ceil(rows / bandRows);

/** All a worker needs to make any band of one plate; plain data. */
interface AnySetup {
  readonly id: number;
  readonly scratch: Scratch;
  readonly codes: SourceCodes;
  /** EXIF orientation and the wished turn, composed. */
  readonly orientation: Orientation;
  readonly plan: Plan;
  readonly head: PlateHead;
  readonly formats: readonly FormatKind[];
}

/** A plate of marks, all of them in shared memory. */
export interface BitsSetup extends AnySetup {
  readonly draws: 'bits';
  readonly bitmap: Bitmap;
}

/** A plate of tone, which exists in bands only. */
export interface ToneSetup extends AnySetup {
  readonly draws: 'tone';
}

export type PlateSetup = BitsSetup | ToneSetup;
