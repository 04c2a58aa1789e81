import { createHash } from 'node:crypto';
import { closeSync, openSync, readSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { type Bitmap, countBits } from '../../core/bitmap.ts';
import { EtchError } from '../../core/errors.ts';
import type { MarkedPiece } from '../../core/gang/contract.ts';
import { columnExtents, rowExtents } from '../../core/time/extents.ts';
import { sha256OfFile } from '../../io/find-by-hash.ts';
import { readJsonObject } from '../../io/json-file.ts';
import { decodePicture } from '../../io/read/decode.ts';
import { inspectPicture } from '../../io/read/inspect.ts';
import { type Report, reportSchema } from '../../report/schema.ts';
import { hashHead } from '../plate/bands.ts';
import type { RunContext } from '../plate/context.ts';
import { dpiOf, pack, refuseOtherDpi } from '../plate/plate-bits.ts';
import { plateStem } from '../plate/stem.ts';
import { readStoredBits } from '../plate/stored-bits.ts';

/** How plate files are read. */
export interface PlateReading {
  /** Which pixel value fires, where no report beside a plate says so. */
  readonly fire: 'dark' | 'light';
  /** Plate resolution to go by where a file states none. */
  readonly dpi: number | null;
  readonly maxPixels: number;
}

/** The report that lies beside a plate. */
interface Beside {
  readonly report: Report;
  /** False where it tells of other bits than the file holds. */
  readonly agrees: boolean;
}

/** A plate that is to be ganged: what was read of it, its bits let go again. */
export interface GangPlate extends MarkedPiece {
  readonly path: string;
  /** Name of the file. */
  readonly file: string;
  readonly name: string;
  readonly dpi: number;
  /** Of the file. */
  readonly sha256: string;
  /** Which pixel value its file was read as firing. */
  readonly fire: 'dark' | 'light';
  readonly bitsSha256: string;
  readonly etchedPx: number;
  readonly beside: Beside | null;
}

/** SHA-256 of a finished plate: its size, then its packed rows. */
export const bitsSha256 = ({ widthPx, heightPx, data }: Bitmap): string =>
  createHash('sha256').update(hashHead(widthPx, heightPx)).update(data).digest('hex');

async function reportBeside(path: string): Promise<Report | null> {
  try {
    const { value } = await readJsonObject(join(dirname(path), `${plateStem(path)}.report.json`), 'report');
    return reportSchema.parse(value);
  } catch {
    // no report, or not one of ours: then the file has to speak for itself
    return null;
  }
}

const isPdf = (fd: number): boolean => {
  const start = new Uint8Array(5);
  return readSync(fd, start, 0, 5, 0) === 5 && String.fromCharCode(...start) === '%PDF-';
};

/** Bits and stated resolution of a PDF of ours; null for any other file. */
function readPdf(path: string, fire: 'dark' | 'light'): ReturnType<typeof readStoredBits> | null {
  let fd: number;
  try {
    fd = openSync(path, 'r');
  } catch {
    return null; // whoever reads pictures tells why
  }
  try {
    if (!isPdf(fd)) return null;
    return readStoredBits('pdf', fd, fire);
  } catch (error) {
    throw new EtchError(
      'input',
      'plate-not-ours',
      `Reading "${basename(path)}": this PDF cannot be read as a plate: ${(error as Error).message}.`,
      'Only PDFs that this program wrote can be ganged: give the plate as PNG, TIFF or BMP.',
      error,
    );
  } finally {
    closeSync(fd);
  }
}

interface ReadPlate {
  readonly bitmap: Bitmap;
  readonly dpi: number;
}

async function readPlate(path: string, reading: PlateReading, context: RunContext): Promise<ReadPlate> {
  const name = basename(path);
  const pdf = readPdf(path, reading.fire);
  if (pdf) {
    const stated = { name, ppiX: pdf.dpiX, ppiY: pdf.dpiY };
    refuseOtherDpi(stated, reading.dpi);
    return { bitmap: pdf.bitmap, dpi: dpiOf(stated, reading.dpi, 'Ganging').dpi };
  }
  const { scratchFolder: scratchDir, signal } = context;
  const inspection = await inspectPicture(
    { path, name },
    { maxPixels: reading.maxPixels, scratchDir },
    signal,
  );
  refuseOtherDpi(inspection.facts, reading.dpi);
  const { dpi } = dpiOf(inspection.facts, reading.dpi, 'Ganging');
  const picture = await decodePicture(inspection, {}, signal);
  try {
    const { bitmap, greyPx } = pack(picture, reading.fire);
    if (greyPx > 0)
      throw new EtchError(
        'usage',
        'greys',
        `Ganging ${name}: ${greyPx} of its pixels are neither black nor white`,
        'A plate on a sheet has two values only: make it again from the picture, with a screen.',
      );
    return { bitmap, dpi };
  } finally {
    picture.close();
  }
}

/** A format rounds the resolution it states; the report does not. */
const exactDpi = (report: Report | null, statedDpi: number): number =>
  report && Math.abs(statedDpi / report.plate.dpi - 1) < 2e-4 ? report.plate.dpi : statedDpi;

const fireOf = (report: Report | null, file: string, otherwise: 'dark' | 'light'): 'dark' | 'light' =>
  report?.files.find(({ name }) => name === file)?.fire ?? otherwise;

/** Reads a plate file and what its report says, and measures it. Throws EtchError where it cannot be ganged. */
export async function measurePlate(
  path: string,
  reading: PlateReading,
  context: RunContext,
): Promise<GangPlate> {
  const file = basename(path);
  const report = await reportBeside(path);
  const fire = fireOf(report, file, reading.fire);
  const { bitmap, dpi } = await readPlate(path, { ...reading, fire }, context);
  const bits = bitsSha256(bitmap);
  return {
    path,
    file,
    name: plateStem(path),
    dpi: exactDpi(report, dpi),
    widthPx: bitmap.widthPx,
    heightPx: bitmap.heightPx,
    sha256: (await sha256OfFile(path)) ?? '',
    fire,
    bitsSha256: bits,
    etchedPx: countBits(bitmap.data),
    rows: rowExtents(bitmap),
    columns: columnExtents(bitmap),
    beside: report && { report, agrees: report.bitsSha256 === bits },
  };
}

/** The bits of a plate that was measured, read again; throws EtchError where the file has changed meanwhile. */
export async function bitsOf(plate: GangPlate, reading: PlateReading, context: RunContext): Promise<Bitmap> {
  const fire = fireOf(plate.beside?.report ?? null, plate.file, reading.fire);
  const { bitmap } = await readPlate(plate.path, { ...reading, fire }, context);
  if (bitsSha256(bitmap) === plate.bitsSha256) return bitmap;
  throw new EtchError(
    'input',
    'plate-changed',
    `Reading "${plate.file}": it has changed since the work began.`,
    'Wait until nothing writes to it, then run it again.',
  );
}
