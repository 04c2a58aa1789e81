import { MM_PER_INCH } from '../core/geometry.ts';
import { processes } from '../core/processes/index.ts';
import type { EtchedSide, ScreenPlace } from '../core/screens/contract.ts';
import { type ScreenKind, screens } from '../core/screens/index.ts';
import type { LimitName, Making } from './making.ts';
import type { Job } from './schema.ts';

const FULL_TONE = 65535;

export const etchedSideOf = ({ etch }: Pick<Job, 'etch'>): EtchedSide => (etch === 'dark' ? 'ink' : 'paper');

/** What plate, machine and sheet are to the screen of a job. */
export function screenPlace(job: Job, { machine, spotKnown, sheet }: Making): ScreenPlace {
  const pxPerMm = job.dpi / MM_PER_INCH;
  const { screenLimits } = processes[job.process];
  const limitPx = (name: LimitName): number => Math.max(1, (sheet.limits[name]?.mm ?? 0) * pxPerMm);
  return {
    pxPerMm,
    etchedSide: etchedSideOf(job),
    plate: 0,
    spotPx: machine.spotMm * pxPerMm,
    beam: machine.beam,
    allowsForSpot: job.compensate && spotKnown,
    minEtchedPx: limitPx(screenLimits.etched),
    minKeptPx: limitPx(screenLimits.kept),
    darkestTone: Math.round((job.capPercent / 100) * FULL_TONE),
    lightestTone: Math.round((job.floorPercent / 100) * FULL_TONE),
  };
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
