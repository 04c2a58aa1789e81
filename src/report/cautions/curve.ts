import type { Making } from '../../job/making.ts';
import { type Curves, type MeasuredCurve, nearly, settingsOff } from '../../job/measured-curve.ts';
import type { Job } from '../../job/schema.ts';
import type { Caution } from '../schema.ts';
import { num } from '../words.ts';
import { caution } from './index.ts';

const MEASURE = 'Measure one for this with `etchwright testplate` and `calibrate`.';

/** One way in which a plate is not like the one its curve was measured on. */
const differs = (code: string, curve: MeasuredCurve, was: string, is: string, cure = MEASURE): Caution =>
  caution({ code, text: `The curve ${curve.name} was measured ${was}, and this plate ${is}`, cure });

function ofAnotherScreen(job: Job, curve: MeasuredCurve): Caution[] {
  if (job.screen !== curve.screen.kind)
    return [
      differs(
        'curve-of-another-screen',
        curve,
        `with the screen ${curve.screen.kind}`,
        `has ${job.screen}`,
        `Leave --screen out, and it is ${curve.screen.kind}. ${MEASURE}`,
      ),
    ];
  const off = settingsOff(job, curve);
  if (off.length === 0) return [];
  const told = (values: Readonly<Record<string, unknown>>): string =>
    off
      .map((key) => `${key} ${typeof values[key] === 'number' ? num(values[key], 3) : values[key]}`)
      .join(', ');
  return [
    differs(
      'curve-of-another-screen',
      curve,
      `with ${told(curve.screen.params)}`,
      `has ${told(job.screenParams)}`,
    ),
  ];
}

function ofAnotherSpot(job: Job, { machine, spotKnown }: Making, curve: MeasuredCurve): Caution[] {
  if (curve.spotMm === null) return [];
  const allowed = job.compensate && spotKnown ? machine.spotMm : null;
  if (allowed !== null && nearly(allowed, curve.spotMm)) return [];
  return [
    differs(
      'curve-of-another-spot',
      curve,
      `with an allowance for a spot of ${curve.spotMm} mm`,
      allowed === null ? 'allows for none' : `allows for ${allowed} mm`,
      `Give --spot ${curve.spotMm}mm, or measure a new one.`,
    ),
  ];
}

/** Names that are known on both sides and differ. */
function ofAnother(
  what: string,
  code: string,
  curve: MeasuredCurve,
  was: string | null,
  is: string | null,
): Caution[] {
  if (was === null || is === null || was === is) return [];
  return [
    differs(code, curve, `on ${what} "${was}"`, `is for "${is}"`, 'Print a control strip, or measure again.'),
  ];
}

/** How a plate differs from the one its curve was measured on, and why a curve was left out. */
export function curveCautions(
  job: Job,
  making: Making,
  measured: MeasuredCurve | null,
  { given, kept }: Curves,
): Caution[] {
  if (measured) {
    const { sheet, machine } = making;
    return [
      ...ofAnotherScreen(job, measured),
      ...(nearly(job.dpi, measured.dpi)
        ? []
        : [differs('curve-of-another-dpi', measured, `at ${num(measured.dpi)} dpi`, `has ${num(job.dpi)}`)]),
      ...ofAnotherSpot(job, making, measured),
      ...ofAnother('machine', 'curve-of-another-machine', measured, measured.machine, machine.id),
      ...ofAnother('sheet', 'curve-of-another-sheet', measured, measured.material, sheet.id),
      ...ofAnother('batch', 'curve-of-another-batch', measured, measured.batch, sheet.batch),
    ];
  }
  if (given)
    return [
      caution({
        code: 'curve-not-used',
        severity: 'note',
        text: `The screen ${job.screen} draws no tones, so the curve ${given.name} was not used`,
        cure: `It was measured with --screen ${given.screen.kind}.`,
      }),
    ];
  if (kept.length === 0) return [];
  const has = kept.map(({ screen, dpi }) => `${screen.kind} at ${num(dpi)} dpi`).join(', ');
  return [
    caution({
      code: 'no-curve-for-screen',
      severity: 'note',
      text: `The workshop has curves of this sheet, but none for ${job.screen} at ${num(job.dpi)} dpi with these settings`,
      cure: `There are ones for ${has}; name one with --curve to use it all the same.`,
    }),
  ];
}
