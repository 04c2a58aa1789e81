import { MM_PER_INCH } from '../core/geometry.ts';
import { processes } from '../core/processes/index.ts';
import { type Knot, monotoneCurve } from '../core/curve.ts';
import type { EtchedSide, ScreenPlace } from '../core/screens/contract.ts';
import { type ScreenKind, screens } from '../core/screens/index.ts';
import { knotsOfSide, toneTableFor } from '../core/screens/spot-curve.ts';
import type { Making } from './making.ts';
import type { Job } from './schema.ts';

const FULL_TONE = 65535;

export const etchedSideOf = ({ etch }: Pick<Job, 'etch'>): EtchedSide => (etch === 'dark' ? 'ink' : 'paper');

/** Narrowest mark and land that a screen may draw, in mm: as given, else the sheet's; 0 where nothing is known. */
export function narrowest(
  job: Job,
  { limits }: Making['sheet'],
): { readonly minEtchedMm: number; readonly minKeptMm: number } {
  const { etched, kept } = processes[job.process].screenLimits;
  return {
    minEtchedMm: job.minEtchedMm ?? limits[etched]?.mm ?? 0,
    minKeptMm: job.minKeptMm ?? limits[kept]?.mm ?? 0,
  };
}

/** What plate, machine and sheet are to the screen of a job. */
export function screenPlace(job: Job, { machine, spotKnown, sheet }: Making): ScreenPlace {
  const pxPerMm = job.dpi / MM_PER_INCH;
  const limits = narrowest(job, sheet);
  return {
    pxPerMm,
    etchedSide: etchedSideOf(job),
    plate: 0,
    spotPx: machine.spotMm * pxPerMm,
    beam: machine.beam,
    allowsForSpot: job.compensate && spotKnown,
    minEtchedPx: Math.max(1, limits.minEtchedMm * pxPerMm),
    minKeptPx: Math.max(1, limits.minKeptMm * pxPerMm),
    darkestTone: Math.round((job.capPercent / 100) * FULL_TONE),
    lightestTone: Math.round((job.floorPercent / 100) * FULL_TONE),
  };
}

/** The spot that the tones of a job allow for, as layouts of test plates hold it; nulls where they allow for none. */
export function allowedFor(
  job: Job,
  { machine, spotKnown }: Making,
): { readonly spotMm: number | null; readonly beam: Making['machine']['beam'] | null } {
  const allows = job.compensate && spotKnown && screens[job.screen].compensates !== 'no';
  return allows ? { spotMm: machine.spotMm, beam: machine.beam } : { spotMm: null, beam: null };
}

/** A screen on its place, all that decides what it makes of a tone; plain data. */
export interface PlacedScreen {
  readonly kind: ScreenKind;
  readonly params: Readonly<Record<string, unknown>>;
  readonly place: ScreenPlace;
  /** Ink tone asked for → ink tone whose print was as good as that, 65,536 entries, by a measured curve; null for none. */
  readonly measured: Uint16Array | null;
}

/** The screen of a job on its place, with the ink knots of a measured curve; the range of tones is what the curve makes of it. */
export function placedScreen(job: Job, making: Making, inkKnots: readonly Knot[] | null): PlacedScreen {
  const place = screenPlace(job, making);
  const screen = { kind: job.screen, params: job.screenParams };
  if (!inkKnots) return { ...screen, place, measured: null };
  const measured = toneTableFor(monotoneCurve(knotsOfSide(inkKnots, place.etchedSide)), place);
  const [darkestTone, lightestTone] = [measured[place.darkestTone]!, measured[place.lightestTone]!];
  return { ...screen, place: { ...place, darkestTone, lightestTone }, measured };
}

/** The job with those settings of its screen filled in that hang on machine and sheet. */
export function settleScreen(job: Job, making: Making): Job {
  const settle = settlerOf(job.screen);
  return settle ? { ...job, screenParams: settle(job.screenParams, screenPlace(job, making)) } : job;
}

type Settle = (params: Job['screenParams'], place: ScreenPlace) => Job['screenParams'];

// the registry's entries have parameter types of their own; the job has checked them
const settlerOf = (kind: ScreenKind): Settle | undefined =>
  (screens[kind] as unknown as { settle?: Settle }).settle;
