import type { Bitmap } from '../../core/bitmap.ts';
import type { HoldLimit } from '../../core/hold/contract.ts';
import type { Finish } from '../../core/plate.ts';
import { type Draws, frameOf, type ScreenDef } from '../../core/screens/contract.ts';
import { screens } from '../../core/screens/index.ts';
import type { SpotOnPitch } from '../../core/spot/widths.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import type { FormatKind } from '../../io/formats/index.ts';
import type { Plan } from '../../job/plan.ts';
import type { BuiltScreen } from './build-screen.ts';
import type { GreySource } from './tone-source.ts';

/**
 * Rows in one piece of work. A constant and never derived from the number of cores, so that one worker or
 * eight make the same bytes.
 */
export const BAND_ROWS = 1024;

/** Rows of a band while it is screened: as many as `BAND_ROWS` holds of the screen's own steps. */
export function screenBandRows({ kind, params, place }: Plan['screen']): number {
  const { stepRows } = frameOf(screens[kind] as unknown as ScreenDef, params, place);
  return Math.max(1, Math.floor(BAND_ROWS / stepRows)) * stepRows;
}

/** Likewise for tone, of which no more than a few bands ever exist: 1.5 MB a band of 600 mm at 1,000 dpi. */
const TONE_BAND_ROWS = 64;

export const bandRowsFor: Readonly<Record<Draws, number>> = { bits: BAND_ROWS, tone: TONE_BAND_ROWS };

export const bandsIn = (rows: number, bandRows = BAND_ROWS): number => Math.ceil(rows / bandRows);

let plates = 0;

/** A number for a plate that no other of this run has. */
export const newPlateId = (): number => plates++;

/** What a thread needs to judge a finished plate of marks; plain data, the bits in shared memory. */
export interface JudgeSetup {
  readonly id: number;
  readonly bitmap: Bitmap;
  /** The beam that the plate is judged with; known or taken for granted. */
  readonly spot: SpotOnPitch;
  readonly holdLimits: Readonly<Record<string, HoldLimit>>;
}

/** What it needs to make any band of a plate; plain data. */
export interface MakeSetup extends GreySource {
  readonly id: number;
  readonly plan: Plan;
  readonly head: PlateHead;
  readonly formats: readonly FormatKind[];
}

/** A plate of marks, all of them in shared memory. */
export interface BitsSetup extends MakeSetup, JudgeSetup {
  readonly draws: 'bits';
  readonly built: BuiltScreen;
  /** The ink of the picture's box where it was drawn pixel by pixel and the screen would leave it as it is; null where it is to be screened. */
  readonly ink: Bitmap | null;
}

/** A plate whose ink was drawn whole: it is only finished, written and judged. */
export interface DrawnSetup extends JudgeSetup {
  readonly draws: 'ink';
  readonly head: PlateHead;
  readonly formats: readonly FormatKind[];
  readonly finish: Finish;
}

/** A plate of tone, which exists in bands only. */
export interface ToneSetup extends MakeSetup {
  readonly draws: 'tone';
}
