import { basename } from 'node:path';
import { type GreyScan, greyScan } from '../../core/calibration/scan.ts';
import { parseWedge, type Wedge } from '../../core/calibration/wedge-file.ts';
import { parseTestPlate, type TestPlateLayout } from '../../core/testplate/layout.ts';
import { parsedFrom, readJsonObject } from '../../io/json-file.ts';
import { decodePicture } from '../../io/read/decode.ts';
import { inspectPicture } from '../../io/read/inspect.ts';
import { openRows } from '../../io/rows.ts';
import type { RunContext } from '../plate/context.ts';

/** Reads a scan in grey, whole: one or two bytes a pixel. */
export async function readScan(path: string, maxPixels: number, context: RunContext): Promise<GreyScan> {
  const { signal, scratchFolder: scratchDir } = context;
  const input = { path, name: basename(path) };
  const inspection = await inspectPicture(input, { maxPixels, scratchDir }, signal);
  const picture = await decodePicture(inspection, {}, signal);
  try {
    const rows = openRows(picture.scratch, picture.facts.orientation);
    const { widthPx, heightPx, bytesPerSample } = rows;
    const codes = new (bytesPerSample === 1 ? Uint8Array : Uint16Array)(widthPx * heightPx);
    const row = rows.newRow();
    for (let y = 0; y < heightPx; y++) {
      rows.read(y, row);
      codes.set(row, y * widthPx);
    }
    return greyScan(codes, widthPx, heightPx);
  } finally {
    picture.close();
  }
}

/** Reads the layout file of a test plate. */
export async function readLayout(path: string): Promise<TestPlateLayout> {
  return parsedFrom(path, (await readJsonObject(path, 'test plate layout')).value, parseTestPlate);
}

/** Reads the file of a reference wedge. */
export async function readWedge(path: string): Promise<Wedge> {
  return parsedFrom(path, (await readJsonObject(path, 'wedge')).value, parseWedge);
}
