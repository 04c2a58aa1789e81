import * as z from 'zod';
import type { Knot } from '../curve.ts';
import { EtchError } from '../errors.ts';
import { type ProcessKind, processes } from '../processes/index.ts';
import type { EtchedSide } from '../screens/contract.ts';
import { knotsOfSide } from '../screens/spot-curve.ts';
import { densityOf, densityOfCoverage, lightnessOf, reflectanceOf } from './density.ts';

const share = z.number().min(0).max(1);
const percent = z.number().min(0).max(100);

const measured = z.strictObject({ mm: z.number().positive(), plusMinusMm: z.number().min(0) });

const limit = measured
  .extend({
    atEnd: z.boolean().describe('every size of the test plate held, so the limit lies beyond').default(false),
  })
  .nullable()
  .describe('null where it was not measured');

const knot = z.strictObject({
  share: share.describe('ink tone in the file'),
  printed: share.describe('share of the way from printed white to solid, in light; never falls'),
  plusMinus: z.number().min(0).describe('one standard error of it'),
  density: z.number().describe('above bare paper, as read'),
  lightness: z.number().min(0).max(200).describe('CIE L*, bare paper 100, as read'),
});

const reading = z.strictObject({
  id: z.string().min(1).describe('patch of the test plate'),
  proof: z.int().min(1),
  share,
  density: z.number(),
  lightness: z.number(),
});

/** How tones between printed white and solid are to be spaced. */
export const CURVE_TARGETS = ['lightness', 'density'] as const;

/** A measured curve with all it was measured on; `<name>.curve.json`. */
export const curveFileSchema = z
  .strictObject({
    schema: z.literal('etchwright/curve'),
    version: z.literal(1),
    name: z.string().min(1).max(100),
    measuredOn: z.iso.date().describe('day of the proof, such as 2031-05-03'),
    layoutId: z.string().min(1).describe('test plate it was read from'),
    process: z.enum(Object.keys(processes) as [ProcessKind, ...ProcessKind[]]),
    machine: z.string().nullable(),
    material: z.string().nullable(),
    batch: z.string().nullable(),
    dpi: z.number().positive(),
    screen: z.strictObject({ kind: z.string().min(1), params: z.record(z.string(), z.unknown()) }),
    spotMm: z.number().positive().nullable().describe('mark of one firing that the plate allowed for'),
    wedge: z
      .strictObject({
        name: z.string().min(1),
        from: z.number().describe('lightest density of it that every scan told'),
        to: z.number().describe('darkest'),
      })
      .nullable()
      .describe('wedge of known densities in the scans; null where their codes were taken for sRGB')
      .default(null),
    target: z.enum(CURVE_TARGETS).describe('what is spaced evenly between printed white and solid'),
    whiteDensity: z.number().describe('printed white above bare paper: plate tone'),
    solidDensity: z.number().describe('darkest tone above bare paper'),
    knots: z.array(knot).min(3).describe('lightest first'),
    capPercent: percent.describe('first ink tone that reaches 95 % of the density range'),
    floorPercent: percent.describe('first ink tone that is told from the printed white'),
    limits: z.strictObject({
      minWallMm: limit,
      minLandMm: limit,
      minGapMm: limit,
      minMarkMm: limit,
      maxPoolMm: limit,
      maxGapMm: limit,
    }),
    stretch: z
      .strictObject({ xPercent: z.number(), yPercent: z.number() })
      .nullable()
      .describe('growth from the file to the dry print; null where no ruler lay in the scan'),
    spot: measured
      .nullable()
      .describe(
        'mark of one firing as it prints, squash and spread of ink included, so not the beam’s own; null where it was not measured',
      ),
    warnings: z
      .array(z.strictObject({ code: z.string(), text: z.string() }))
      .describe('what was read all the same, and should be looked at')
      .default([]),
    readings: z.array(reading).describe('every patch of every proof'),
  })
  .refine(({ knots }) => knots.every((k, i) => i === 0 || k.share > knots[i - 1]!.share), {
    path: ['knots'],
    message: 'the shares must rise',
  })
  .refine(({ knots }) => knots.every((k, i) => i === 0 || k.printed >= knots[i - 1]!.printed), {
    path: ['knots'],
    message: 'the printed shares must not fall',
  })
  .refine(({ whiteDensity, solidDensity }) => solidDensity > whiteDensity, {
    path: ['solidDensity'],
    message: 'the solid must be darker than the white',
  });

/** A measured curve as its file has it, version 1. */
export type CurveFile = z.output<typeof curveFileSchema>;

const HINT = 'Use a .curve.json as it was written, or read the proofs again.';

/** Reads a curve out of parsed JSON. EtchError `curve-not-valid` that names the first place at fault, or `curve-version`. */
export function parseCurve(value: unknown): CurveFile {
  const head = z.looseObject({ schema: z.unknown(), version: z.unknown() }).safeParse(value);
  if (!head.success || head.data.schema !== 'etchwright/curve')
    throw notValid('this is not one: it does not say schema "etchwright/curve"');
  if (head.data.version !== 1)
    throw new EtchError(
      'usage',
      'curve-version',
      `Reading a curve: it is version ${String(head.data.version)}, and only version 1 is known`,
      'Use the version of the program that wrote it, or read the proofs again.',
    );
  const parsed = curveFileSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [first] = parsed.error.issues;
  throw notValid(`${first!.path.join('.') || 'the whole'}: ${first!.message}`);
}

const notValid = (what: string): EtchError =>
  new EtchError('usage', 'curve-not-valid', `Reading a curve: ${what}`, HINT);

type Scale = Pick<CurveFile, 'whiteDensity' | 'solidDensity' | 'target'>;

/** Reflectance relative to bare paper of a share printed between a curve's white and solid. */
export function printedLight(
  printed: number,
  { whiteDensity, solidDensity }: Pick<CurveFile, 'whiteDensity' | 'solidDensity'>,
): number {
  return reflectanceOf(whiteDensity + densityOfCoverage(printed, solidDensity - whiteDensity));
}

/** Tone that a printed share counts as: 0 for the printed white, 1 for the solid, even steps of the target between. */
function toneOf(printed: number, scale: Scale): number {
  const measure = scale.target === 'lightness' ? lightnessOf : (light: number) => -densityOf(light);
  const [white, solid] = [measure(printedLight(0, scale)), measure(printedLight(1, scale))];
  return (white - measure(printedLight(printed, scale))) / (white - solid);
}

/**
 * Knots for `toneTableFor`: etched share of the file, and etched share that was as good as asked for. The curve's
 * inverse of a tone asked for is what the file must hold.
 */
export function curveKnotsFor(curve: Pick<CurveFile, 'knots'> & Scale, etchedSide: EtchedSide): Knot[] {
  const knots = curve.knots.map(({ share, printed }): Knot => [share, toneOf(printed, curve)]);
  return knotsOfSide(knots, etchedSide);
}
