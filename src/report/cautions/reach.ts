import { MM_PER_INCH } from '../../core/geometry.ts';
import { screens } from '../../core/screens/index.ts';
import { solidShare, spotPxForSolid } from '../../core/spot/solid.ts';
import type { Making } from '../../job/making.ts';
import type { Job } from '../../job/schema.ts';
import { etchedSideOf, screenPlace } from '../../job/screen-place.ts';
import type { Caution } from '../schema.ts';
import { caution } from './index.ts';

/** Shares of tone so far apart are taken for the same, and from so much on what is missing is seen. */
const SAME = 0.005;
const SEEN = 0.02;

/** A solid that keeps no more than this is as good as closed: finer steps of dpi buy nothing. */
const CLOSED = 0.9999;

const percent = (share: number): number => Math.round(share * 1000) / 10;

/** Tones that a known spot cannot etch, since its marks leave gaps even where every pixel is fired. */
function outOfReach(job: Job, making: Making): Caution[] {
  const { spotPx, beam, allowsForSpot } = screenPlace(job, making);
  if (!allowsForSpot || screens[job.screen].compensates === 'no') return [];
  const most = solidShare({ spotPx, beam });
  const etchesInk = etchedSideOf(job) === 'ink';
  const asked = etchesInk ? job.capPercent / 100 : 1;
  if (most >= asked - SAME) return [];
  const dpiFor = (share: number): number =>
    Math.ceil((spotPxForSolid(share, beam) * MM_PER_INCH) / making.machine.spotMm);
  const gaps = `A spot of ${making.machine.spotMm} mm leaves gaps between its marks at ${job.dpi} dpi: a solid etches ${percent(most)} %`;
  return [
    caution({
      code: 'solid-out-of-reach',
      severity: asked - most < SEEN ? 'note' : 'warn',
      text: etchesInk
        ? `${gaps}, so darker tones, up to the ${percent(asked)} % asked for, all come out as that`
        : `${gaps}, so bare paper and tones lighter than ${percent(1 - most)} % keep ridges that may print`,
      value: percent(most),
      limit: percent(asked),
      unit: '%',
      cure: etchesInk
        ? `Give --dpi ${dpiFor(asked)} or more, where the marks overlap enough, or --cap ${Math.floor(100 * most)}%.`
        : `Give --dpi ${dpiFor(CLOSED)} or more, where the marks overlap.`,
    }),
  ];
}

/** Points between two tones from which on a slope shows the step: 64 tones (from memory). */
const SEEN_STEP = 1.6;

/** What holds may leave a screen two tones with none between them. */
function wideSteps(job: Job, achieved: Readonly<Record<string, number | string>>): Caution[] {
  const { widestStepPercent: step } = achieved;
  if (typeof step !== 'number' || step < SEEN_STEP) return [];
  const { widen } = screens[job.screen];
  return [
    caution({
      code: 'few-tones',
      severity: 'note',
      text: `Marks and lands that hold leave this screen two tones that are ${step.toFixed(1)} points apart, with none between; what is asked for there comes out as the nearer`,
      value: step,
      limit: SEEN_STEP,
      unit: '%',
      cure: `Ask for ${widen ? `${widen} or ` : ''}a higher --dpi, or take a screen without steps, such as cell.`,
    }),
  ];
}

/** Which tones the marks of a screen cannot make, `achieved` being its facts; a measured curve knows itself what can be reached. */
export const reachCautions = (
  job: Job,
  making: Making,
  achieved: Readonly<Record<string, number | string>>,
  isMeasured: boolean,
): Caution[] => [...(isMeasured ? [] : outOfReach(job, making)), ...wideSteps(job, achieved)];
