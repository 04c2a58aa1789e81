import type { Knot } from '../core/curve.ts';
import type { processes } from '../core/processes/index.ts';
import { type ScreenKind, screens } from '../core/screens/index.ts';
import type { Job } from './schema.ts';

/** A measured curve as a plate uses it: what it was measured on, and its knots. */
export interface MeasuredCurve {
  readonly name: string;
  /** Of the curve file. */
  readonly sha256: string;
  /** Day of the proof, such as 2031-05-03. */
  readonly measuredOn: string;
  readonly process: keyof typeof processes;
  readonly dpi: number;
  readonly screen: { readonly kind: ScreenKind; readonly params: Readonly<Record<string, unknown>> };
  /** Spot that the test plate allowed for; null where it allowed for none. */
  readonly spotMm: number | null;
  readonly machine: string | null;
  readonly material: string | null;
  readonly batch: string | null;
  /** Ink tone of the file, and ink tone that its print was as good as, 0 … 1. */
  readonly knots: readonly Knot[];
}

/** The curves that a run may use. */
export interface Curves {
  /** Asked for by name: used whatever the screen, with cautions. */
  readonly given: MeasuredCurve | null;
  /** Those that the workshop has of the sheet: used where all is as it was measured. */
  readonly kept: readonly MeasuredCurve[];
}

export const NO_CURVES: Curves = { given: null, kept: [] };

/** Resolutions so near count as the same. */
const SAME_DPI = 0.01;

/** True where two lengths or resolutions are the same but for a hundredth. */
export const nearly = (a: number, b: number): boolean => Math.abs(a - b) <= SAME_DPI * Math.max(a, b);

/** Settings of a screen that are not as they were on the test plate. Numbers that never change tones do not count. */
export function settingsOff(job: Job, { screen }: MeasuredCurve): string[] {
  return Object.keys(screens[job.screen].params.shape).filter((key) => {
    if (key === 'seed') return false;
    const [is, was] = [job.screenParams[key], screen.params[key]];
    return typeof is === 'number' && typeof was === 'number' ? !nearly(is, was) : is !== was;
  });
}

/** A job and the curve it goes through. */
export interface CurvedJob {
  readonly job: Job;
  readonly measured: MeasuredCurve | null;
}

/**
 * Chooses the curve for a job. A curve was measured on tones drawn with or without an allowance for the spot, and holds
 * for tones drawn likewise: `settled` fills the job in for either.
 */
export function curvedJob(
  settled: (allowance: Partial<Pick<Job, 'compensate'>>) => Job,
  { given, kept }: Curves,
): CurvedJob {
  const plain = settled({});
  if (screens[plain.screen].compensates === 'no') return { job: plain, measured: null };
  // only taken away, never brought in: who asks for no allowance is told of the difference
  const under = ({ spotMm }: MeasuredCurve): Job =>
    spotMm === null ? settled({ compensate: false }) : plain;
  if (given) return { job: under(given), measured: given };
  // of one day the one that was entered last
  const newest = kept
    .toReversed()
    .sort((a, b) => (a.measuredOn === b.measuredOn ? 0 : a.measuredOn < b.measuredOn ? 1 : -1));
  for (const measured of newest) {
    const job = under(measured);
    const isSame =
      measured.process === job.process &&
      measured.screen.kind === job.screen &&
      nearly(measured.dpi, job.dpi) &&
      settingsOff(job, measured).length === 0;
    if (isSame) return { job, measured };
  }
  return { job: plain, measured: null };
}

/** Days after which a curve is told to be old (common practice: tubes, lenses and rollers age). */
export const FRESH_DAYS = 90;
const DAY_MS = 86_400_000;

/** Days from one day to another, both such as 2031-05-03. */
export const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS);

/** What to tell of a curve's age on this day; null while it is fresh. */
export function ageWords(
  { name, measuredOn }: Pick<MeasuredCurve, 'name' | 'measuredOn'>,
  today: string,
): string | null {
  const days = daysBetween(measuredOn, today);
  return days > FRESH_DAYS
    ? `The curve ${name} was measured ${days} days ago, on ${measuredOn}: after ${FRESH_DAYS} days print a control strip, or the test plate again`
    : null;
}
