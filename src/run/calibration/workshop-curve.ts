import { dirname, relative } from 'node:path';
import type { CurveFile } from '../../core/calibration/curve-file.ts';
import { EtchError } from '../../core/errors.ts';
import { readJsonObject } from '../../io/json-file.ts';
import type { Workshop } from '../../job/workshop.ts';
import { readWorkshop } from '../workshop-file.ts';

type Entry = Readonly<Record<string, unknown>>;

/** The sheet of the workshop that a curve is of; a machine that it names must be there too. */
function sheetFor(path: string, { machines, materials }: Workshop, { material, machine }: CurveFile) {
  const unknown = (what: string, flag: string, name: string, known: readonly { id: string }[]): EtchError =>
    new EtchError(
      'usage',
      `unknown-${flag}`,
      `Entering the curve in ${path}: it has no ${what} called "${name}"`,
      `Name one of its own with --${flag}: ${known.map(({ id }) => id).join(', ') || 'it has none yet'}.`,
    );
  if (!materials.some(({ id }) => id === material))
    throw unknown('sheet', 'material', material ?? '', materials);
  if (machine !== null && !machines.some(({ id }) => id === machine))
    throw unknown('machine', 'machine', machine, machines);
  return material;
}

/** What was measured of the sheet, under the names of a workshop's entries; nothing of what was not. */
function measuredLimits({ limits }: CurveFile): Entry {
  // how wide a well stays clean is a matter of its depth and of the roller
  const { maxGapMm: _, ...ofSheet } = limits;
  return Object.fromEntries(
    Object.entries(ofSheet).flatMap(([name, limit]) => (limit ? [[name, limit.mm]] : [])),
  );
}

const updated = (entries: unknown, id: string | null, values: Entry): unknown =>
  Array.isArray(entries)
    ? entries.map((entry: Entry) => (entry['id'] === id ? { ...entry, ...values } : entry))
    : entries;

/**
 * A workshop file's text with a curve entered, in place of one of the same name, and with the limits that were measured
 * with it; the rest of it stays as it is. The spot is left out: read from a print it holds what ink was squashed or
 * spread, which no print can tell from the beam, and a machine's spot is the beam's own. EtchError `unknown-material`,
 * `unknown-machine`.
 */
export async function enteredCurve(path: string, curve: CurveFile, curveFile: string): Promise<string> {
  const { workshop } = await readWorkshop(path);
  const sheetId = sheetFor(path, workshop, curve);
  const { value } = await readJsonObject(path, 'workshop file');
  const entry = {
    id: curve.name,
    materialId: sheetId,
    screen: curve.screen.kind,
    file: relative(dirname(path), curveFile).replaceAll('\\', '/'),
    measuredOn: curve.measuredOn,
  };
  const others = workshop.curves.filter(({ id }) => id !== curve.name);
  const whole = {
    ...value,
    materials: updated(value['materials'], sheetId, measuredLimits(curve)),
    curves: [...others, entry],
  };
  return `${JSON.stringify(whole, null, 2)}\n`;
}
