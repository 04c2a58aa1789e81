import { createHash } from 'node:crypto';
import { basename, dirname, resolve } from 'node:path';
import { curveKnotsFor, parseCurve } from '../../core/calibration/curve-file.ts';
import type { Knot } from '../../core/curve.ts';
import { EtchError } from '../../core/errors.ts';
import { type ScreenKind, screens } from '../../core/screens/index.ts';
import { parsedFrom, readJsonObject } from '../../io/json-file.ts';
import { isWithin } from '../../io/within.ts';
import type { MeasuredCurve } from '../../job/measured-curve.ts';
import type { Workshop } from '../../job/workshop.ts';
import { type Report, reportSchema } from '../../report/schema.ts';
import { tidy } from '../../report/tidy.ts';

const HINT = 'Name a .curve.json, or the report of a plate that was made with a curve.';

const unusable = (path: string, what: string): EtchError =>
  new EtchError('usage', 'curve-not-usable', `Reading the curve ${path}: ${what}`, HINT);

function screenCalled(path: string, kind: string): ScreenKind {
  if (Object.hasOwn(screens, kind)) return kind as ScreenKind;
  throw unusable(path, `it was measured with a screen "${kind}", which is not known here`);
}

/** As reports hold them, so that a plate made again from its report goes through the very same curve. */
const tidyKnots = (knots: readonly Knot[]): Knot[] => knots.map(([x, y]): Knot => [tidy(x), tidy(y)]);

/** What a record of a plate says of itself and of its curve, be it a report or an entry of the notebook. */
interface CurvedPlate {
  readonly plate: { readonly process: string; readonly dpi: number };
  readonly job: Readonly<Record<string, unknown>>;
  readonly screen: { readonly kind: string };
  readonly material: { readonly id: string; readonly batch: string | null } | null;
  readonly machine: string | null;
}

/** The curve that a plate went through, out of its record; `label` names that in errors. */
export function curveOfPlate(
  label: string,
  { plate, job, screen, material, machine }: CurvedPlate,
  { name, sha256, measuredOn, knots }: NonNullable<Report['curve']>,
): MeasuredCurve {
  const kind = screenCalled(label, screen.kind);
  const params = Object.fromEntries(Object.keys(screens[kind].params.shape).map((key) => [key, job[key]]));
  const spotMm = job['compensate'] === true && typeof job['spotMm'] === 'number' ? job['spotMm'] : null;
  return {
    name,
    sha256,
    measuredOn,
    knots,
    process: plate.process as MeasuredCurve['process'],
    dpi: plate.dpi,
    screen: { kind, params },
    spotMm,
    machine,
    material: material?.id ?? null,
    batch: material?.batch ?? null,
  };
}

/** Reads a curve from its own file, or from the report of a plate that went through it. EtchError of kind 'usage'. */
export async function readMeasuredCurve(path: string): Promise<MeasuredCurve> {
  const { value, text } = await readJsonObject(path, 'curve');
  if (value['schema'] === 'etchwright/report') {
    const report = reportSchema.safeParse(value);
    if (!report.success) throw unusable(path, 'it is a report, but not as it was written');
    const { curve, workshop } = report.data;
    if (curve === null) throw unusable(path, 'it is the report of a plate that was made without one');
    return curveOfPlate(path, { ...report.data, machine: workshop.machine }, curve);
  }
  const curve = parsedFrom(path, value, parseCurve);
  const { name, measuredOn, process, dpi, screen, spotMm, machine, material, batch } = curve;
  return {
    name,
    sha256: createHash('sha256').update(text).digest('hex'),
    measuredOn,
    process,
    dpi,
    screen: { kind: screenCalled(path, screen.kind), params: screen.params },
    spotMm,
    machine,
    material,
    batch,
    knots: tidyKnots(curveKnotsFor(curve, 'ink')),
  };
}

/** The curves that a workshop has of a sheet, each read from its file, which lies relative to the workshop's. */
export async function keptCurves(
  { curves }: Workshop,
  workshopFile: string,
  material: string | undefined,
): Promise<MeasuredCurve[]> {
  const own = curves.filter(({ materialId }) => materialId === material);
  const folder = dirname(workshopFile);
  for (const { file } of own)
    if (!(await isWithin(resolve(folder, file), ['.', folder])))
      throw unusable(file, `${workshopFile} names it, but it lies outside its folder and the working folder`);
  return Promise.all(own.map(({ file }) => readMeasuredCurve(resolve(folder, file))));
}

/** What a curve says of a job that leaves its screen open; null where it says nothing. */
export const curveLayer = (path: string, { screen, dpi }: MeasuredCurve) => ({
  origin: 'curve' as const,
  name: basename(path),
  values: { screen: screen.kind, ...screen.params, dpi },
});
