import { dirname, relative } from 'node:path';
import type { CurveFile } from '../core/calibration/curve-file.ts';
import { EtchError } from '../core/errors.ts';
import { readJsonObject } from '../io/json-file.ts';
import { readWorkshop } from './workshop-file.ts';

/** A workshop file's text with a curve entered, in place of one of the same name; the rest of it stays as it is. */
export async function enteredCurve(path: string, curve: CurveFile, curveFile: string): Promise<string> {
  const { workshop } = await readWorkshop(path);
  if (!workshop.materials.some(({ id }) => id === curve.material))
    throw new EtchError(
      'usage',
      'unknown-material',
      `Entering the curve in ${path}: it has no sheet called "${curve.material ?? ''}"`,
      `Name one of its sheets with --material: ${workshop.materials.map(({ id }) => id).join(', ') || 'it has none yet'}.`,
    );
  const { value } = await readJsonObject(path, 'workshop file');
  const entry = {
    id: curve.name,
    materialId: curve.material,
    screen: curve.screen.kind,
    file: relative(dirname(path), curveFile).replaceAll('\\', '/'),
    measuredOn: curve.measuredOn,
  };
  const others = workshop.curves.filter(({ id }) => id !== curve.name);
  return `${JSON.stringify({ ...value, curves: [...others, entry] }, null, 2)}\n`;
}
