import { type Bitmap, createBitmap, cutRow, placeRow, strideFor } from '../../core/bitmap.ts';
import { EtchError } from '../../core/errors.ts';
import { drawLabel, type LabelGround } from '../../core/gang/labels.ts';
import { turned } from '../../core/turned.ts';
import type { RunContext } from '../plate/context.ts';
import type { OpenFile } from '../plate/plate-file.ts';
import { readStoredBits } from '../plate/stored-bits.ts';
import type { LaidItem, LaidSheet } from './layout.ts';
import { bitsOf, bitsSha256, type GangPlate, type PlateReading } from './plate.ts';

/** Memory for one sheet after the other: as much as the largest of them takes. */
export interface SheetRoom {
  bitmapFor(sheet: LaidSheet): Bitmap;
}

const bytesOf = ({ raster }: LaidSheet): number => strideFor(raster.widthPx) * raster.heightPx;

/** Most bytes of a sheet's bits: beyond it files end and counts of bytes leave 32 bits. */
const MOST_BYTES = 2 ** 31;

export function openSheetRoom(sheets: readonly LaidSheet[]): SheetRoom {
  const bytes = Math.max(...sheets.map(bytesOf));
  if (bytes > MOST_BYTES)
    throw new EtchError(
      'usage',
      'sheet-too-fine',
      `A sheet of these plates has ${Math.round((bytes * 8) / 1e6)} million pixels, more than can be held at once`,
      'Use smaller sheets, or plates of a lower --dpi.',
    );
  const shared = new SharedArrayBuffer(bytes);
  return {
    bitmapFor(sheet) {
      const { widthPx, heightPx } = sheet.raster;
      const data = new Uint8Array(shared, 0, bytesOf(sheet)).fill(0);
      return { widthPx, heightPx, strideBytes: strideFor(widthPx), data };
    },
  };
}

/** Reads plates one at a time; the last one is kept, since duplicates follow each other. */
export function openPlates(reading: PlateReading, context: RunContext) {
  let last: { readonly plate: GangPlate; readonly upright: Bitmap; lying: Bitmap | null } | null = null;
  return async (plate: GangPlate, isTurned: boolean): Promise<Bitmap> => {
    if (last?.plate !== plate) {
      last = null; // let go before the next is read
      last = { plate, upright: await bitsOf(plate, reading, context), lying: null };
    }
    if (!isTurned) return last.upright;
    last.lying ??= turned(last.upright, 'clockwise');
    return last.lying;
  };
}

/** Lays the plates of a sheet, and the lettering beside them, into its bitmap, which holds nothing yet. */
export async function composeSheet(
  bitmap: Bitmap,
  { laid }: LaidSheet,
  ground: LabelGround,
  bitsFor: ReturnType<typeof openPlates>,
  signal: AbortSignal,
): Promise<void> {
  for (const { item, place, box } of laid) {
    signal.throwIfAborted();
    const bits = await bitsFor(item.plate, place.turned);
    for (let y = 0; y < bits.heightPx; y++)
      placeRow(
        bits.data,
        y * bits.strideBytes,
        bits.widthPx,
        bitmap.data,
        (box.yPx + y) * bitmap.strideBytes,
        box.xPx,
      );
  }
  for (const { label } of laid) if (label) drawLabel(bitmap, label, ground);
}

/** A plate cut out of its sheet, upright again. */
function cutOut(sheet: Bitmap, { box, place }: LaidItem): Bitmap {
  const out = createBitmap(box.widthPx, box.heightPx);
  for (let y = 0; y < box.heightPx; y++) {
    const at = (box.yPx + y) * sheet.strideBytes;
    cutRow(sheet.data, at, box.xPx, box.widthPx, out.data, y * out.strideBytes);
  }
  return place.turned ? turned(out, 'anticlockwise') : out;
}

/** Hashes of all plates of a sheet, cut out of it. Throws EtchError where one is not as it was. */
function cutHashes(sheet: Bitmap, laid: readonly LaidItem[], name: string): string[] {
  return laid.map((one) => {
    const sha256 = bitsSha256(cutOut(sheet, one));
    if (sha256 === one.item.plate.bitsSha256) return sha256;
    throw new EtchError(
      'output',
      'readback-differs',
      `Cutting plate ${one.item.id} out of ${name} again: its bits differ from ${one.item.plate.file}`,
      'The disk or its connection may be failing. Nothing was kept: try again, or another folder with --out.',
    );
  });
}

/**
 * Proves that every plate lies in every written file of a sheet with the bits it had: each file is read from the disk
 * into the sheet's own bitmap, each plate cut out of it, turned upright and hashed. Without files the bitmap itself is
 * cut. Gives back the hashes, plate by plate.
 */
export function proveSheet(
  bitmap: Bitmap,
  { laid }: LaidSheet,
  files: readonly OpenFile[],
  fire: 'dark' | 'light',
): string[] {
  let hashes = cutHashes(bitmap, laid, 'the sheet');
  for (const { kind, name, slot } of files) {
    bitmap.data.fill(0);
    hashes = cutHashes(readStoredBits(kind, slot.fd, fire, bitmap.data).bitmap, laid, name);
  }
  return hashes;
}
