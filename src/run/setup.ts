import type { Bitmap } from '../core/bitmap.ts';
import type { Orientation } from '../core/geometry-orientation.ts';
import type { HoldLimit } from '../core/hold/contract.ts';
import type { SpotOnPitch } from '../core/spot/widths.ts';
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

export const bandsIn = (rows: number): number => Math.ceil(rows / BAND_ROWS);

/** What a thread needs to judge a finished plate; plain data, the bits in shared memory. */
export interface JudgeSetup {
  readonly id: number;
  readonly bitmap: Bitmap;
  /** The beam that the plate is judged with; known or taken for granted. */
  readonly spot: SpotOnPitch;
  readonly holdLimits: Readonly<Record<string, HoldLimit>>;
}

/** What it needs besides to make any band of one. */
export interface PlateSetup extends JudgeSetup {
  readonly scratch: Scratch;
  readonly codes: SourceCodes;
  /** EXIF orientation and the wished turn, composed. */
  readonly orientation: Orientation;
  readonly plan: Plan;
  readonly head: PlateHead;
  readonly formats: readonly FormatKind[];
}
