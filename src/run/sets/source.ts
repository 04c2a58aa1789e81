/** The picture of a set: its colours on the raster of the plates, or divided into tones at its own resolution. */

import { closeSync, openSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { type Bitmap, createBitmap } from '../../core/bitmap.ts';
import type { PlateLayout } from '../../core/geometry.ts';
import { composeOrientation, type Orientation, type RotateDeg } from '../../core/geometry-orientation.ts';
import { openLuminance } from '../../core/luminance.ts';
import type { Light } from '../../core/proof/colour.ts';
import { openResampler, TONE_CENTRE, type ToneSource } from '../../core/resample/index.ts';
import type { Labels } from '../../core/separations/contract.ts';
import { nearestTable, paletteCell } from '../../core/separations/palette.ts';
import { smoothed, type ToneRows } from '../../core/separations/smooth.ts';
import { FULL_TONE, type ToneSettings } from '../../core/tone.ts';
import { writeExactly } from '../../io/exact.ts';
import type { ColourPicture, Picture } from '../../io/read/decode.ts';
import { openRows, type RowReader } from '../../io/rows.ts';
import type { Scratch } from '../../io/scratch.ts';
import { NO_PLATE } from '../no-plate.ts';
import { inOrder } from '../plate/bands.ts';
import { openToneSource } from '../plate/tone-source.ts';
import type { Pool } from '../pool.ts';
import type { NamedMethod, Splitting } from './split.ts';

/** Rows between two looks at whether the run was broken off. */
const TURN_ROWS = 256;

export interface Turned {
  readonly picture: ColourPicture;
  readonly rotateDeg: RotateDeg;
}

const orientationOf = ({ picture, rotateDeg }: Turned): Orientation =>
  composeOrientation(picture.facts.orientation, rotateDeg);

const uprightPlanes = (turned: Turned): RowReader[] =>
  turned.picture.planes.map((plane) => openRows(plane, orientationOf(turned)));

/** Samples of a picture in a grid of at most about `most`, three bytes each. */
export function sampleColours(turned: Turned, most: number): Uint8Array {
  const planes = uprightPlanes(turned);
  const { widthPx, heightPx } = planes[0]!;
  const step = Math.max(1, Math.ceil(Math.sqrt((widthPx * heightPx) / most)));
  const [across, down] = [Math.ceil(widthPx / step), Math.ceil(heightPx / step)];
  const rgb = new Uint8Array(3 * across * down);
  for (const [k, plane] of planes.entries()) {
    const row = plane.newRow();
    for (let y = 0; y < down; y++) {
      plane.read(y * step, row);
      for (let x = 0; x < across; x++) rgb[3 * (y * across + x) + k] = row[x * step]!;
    }
  }
  return rgb;
}

/** A plane of colour as the resampler takes it: codes for tones. */
function planeSource(rows: RowReader): ToneSource {
  const codes = rows.newRow();
  return {
    widthPx: rows.widthPx,
    heightPx: rows.heightPx,
    readRow(y, into, at) {
      rows.read(y, codes);
      for (let x = 0; x < codes.length; x++) into[at + x] = codes[x]! * 257 - TONE_CENTRE;
    },
  };
}

/** Darkness of the picture, 0 … 65535. */
function darkSource(turned: Turned): ToneSource {
  const planes = uprightPlanes(turned);
  const [reds, greens, blues] = planes.map((plane) => plane.newRow());
  const luminance = openLuminance();
  return {
    widthPx: planes[0]!.widthPx,
    heightPx: planes[0]!.heightPx,
    readRow(y, into, at) {
      planes[0]!.read(y, reds!);
      planes[1]!.read(y, greens!);
      planes[2]!.read(y, blues!);
      for (let x = 0; x < reds!.length; x++)
        into[at + x] =
          FULL_TONE - luminance(reds![x]! * 257, greens![x]! * 257, blues![x]! * 257) - TONE_CENTRE;
    },
  };
}

async function eachRow(heightPx: number, signal: AbortSignal, row: (y: number) => void): Promise<void> {
  for (let y = 0; y < heightPx; y++) {
    row(y);
    if (y % TURN_ROWS === TURN_ROWS - 1) await nextTurn(undefined, { signal });
  }
}

/** Gives every pixel of the plate's picture box to the nearest of these colours, of which the first is the paper. */
export async function labelColours(
  turned: Turned,
  { box, x, y }: PlateLayout,
  colours: readonly Light[],
  signal: AbortSignal,
): Promise<Labels> {
  const { widthPx, heightPx } = box;
  const table = nearestTable(colours);
  const channels = uprightPlanes(turned).map((plane) => openResampler(planeSource(plane), x, y));
  const [reds, greens, blues] = channels.map(() => new Uint16Array(widthPx)) as [
    Uint16Array,
    Uint16Array,
    Uint16Array,
  ];
  const data = new Uint8Array(widthPx * heightPx);
  await eachRow(heightPx, signal, (row) => {
    channels[0]!(row, reds);
    channels[1]!(row, greens);
    channels[2]!(row, blues);
    for (let at = row * widthPx, i = 0; i < widthPx; i++, at++)
      data[at] = table[paletteCell(reds[i]! >> 8, greens[i]! >> 8, blues[i]! >> 8)]!;
  });
  return { widthPx, heightPx, data };
}

/** Labels every pixel with the number of levels that it is as dark as; `levels` rise, 0 … 1. */
export async function labelDarkness(
  turned: Turned,
  { box, x, y }: PlateLayout,
  levels: readonly number[],
  smoothPx: number,
  signal: AbortSignal,
): Promise<Labels> {
  const { widthPx, heightPx } = box;
  const rows: ToneRows = smoothed(openResampler(darkSource(turned), x, y), box, smoothPx);
  const labelOf = new Uint8Array(FULL_TONE + 1);
  for (const level of levels)
    for (let tone = Math.ceil(level * FULL_TONE); tone <= FULL_TONE; tone++)
      labelOf[tone] = labelOf[tone]! + 1;
  const tone = new Uint16Array(widthPx);
  const data = new Uint8Array(widthPx * heightPx);
  await eachRow(heightPx, signal, (row) => {
    rows(row, tone);
    for (let at = row * widthPx, i = 0; i < widthPx; i++, at++) data[at] = labelOf[tone[i]!]!;
  });
  return { widthPx, heightPx, data };
}

const PLAIN: ToneSettings = {
  source: 'positive',
  whitepoint: 1,
  blackpoint: 0,
  gamma: 1,
  cap: 1,
  floor: 0,
};

/** What a picture of one plate asks for: ink where it is at least half as dark as ink. */
export async function askedBits(
  { facts, scratch }: Pick<Picture, 'facts' | 'scratch'>,
  rotateDeg: RotateDeg,
  { box, x, y }: PlateLayout,
  signal: AbortSignal,
): Promise<Bitmap> {
  const source = openToneSource(
    { scratch, codes: facts, orientation: composeOrientation(facts.orientation, rotateDeg) },
    PLAIN,
  );
  const rows = openResampler(source, x, y);
  const tone = new Uint16Array(box.widthPx);
  const map = createBitmap(box.widthPx, box.heightPx);
  await eachRow(box.heightPx, signal, (row) => {
    rows(row, tone);
    const at = row * map.strideBytes;
    for (let i = 0; i < tone.length; i++)
      if (tone[i]! > FULL_TONE / 2) map.data[at + (i >> 3)] = map.data[at + (i >> 3)]! | (0x80 >> (i & 7));
  });
  return map;
}

/** A scratch file that loses its name at once. */
function unnamed(folder: string, name: string): number {
  const file = join(folder, name);
  const fd = openSync(file, 'wx+');
  rmSync(file, { force: true });
  return fd;
}

const BLOCK_BYTES = 1 << 20;

/** A grey picture of two levels, black where the bitmap has a pixel; a pixel of the plate each. */
export async function bitsScratch(map: Bitmap, folder: string, signal: AbortSignal): Promise<Scratch> {
  const { widthPx, heightPx, strideBytes, data } = map;
  const fd = unnamed(folder, 'area');
  try {
    const blockRows = Math.max(1, Math.floor(BLOCK_BYTES / widthPx));
    const block = new Uint8Array(blockRows * widthPx);
    for (let top = 0; top < heightPx; top += blockRows) {
      const rows = Math.min(blockRows, heightPx - top);
      for (let row = 0, to = 0; row < rows; row++) {
        const from = (top + row) * strideBytes;
        for (let x = 0; x < widthPx; x += 8) {
          const byte = data[from + (x >> 3)]!;
          const end = Math.min(8, widthPx - x);
          for (let bit = 7; bit > 7 - end; bit--) block[to++] = ((byte >> bit) & 1) - 1;
        }
      }
      writeExactly(fd, block.subarray(0, rows * widthPx), top * widthPx);
      await nextTurn(undefined, { signal });
    }
    return { fd, widthPx, heightPx, bytesPerSample: 1, offsetBytes: 0 };
  } catch (error) {
    closeSync(fd);
    throw error;
  }
}

/** Pixels in one piece of work. */
const PIECE_PX = 1 << 20;

/** Divides a picture, as it lies, into a grey scratch of 16 bit for each plate; one run over the picture for all. */
export async function splitScratches(
  { planes }: ColourPicture,
  method: NamedMethod,
  table: Uint16Array,
  plates: number,
  pool: Pool,
  folder: string,
  signal: AbortSignal,
): Promise<Scratch[]> {
  const { widthPx, heightPx } = planes[0];
  const pixels = widthPx * heightPx;
  const scratches: Scratch[] = [];
  try {
    for (let plate = 0; plate < plates; plate++)
      scratches.push({ fd: unnamed(folder, 'tones'), widthPx, heightPx, bytesPerSample: 2, offsetBytes: 0 });
    const splitting: Splitting = { method, table, planes, plates: scratches };
    await inOrder(
      Math.ceil(pixels / PIECE_PX),
      pool.threads * 2,
      signal,
      (piece) => {
        const [from, to] = [piece * PIECE_PX, Math.min(pixels, (piece + 1) * PIECE_PX)];
        return pool.run({ do: 'splitPixels', plate: NO_PLATE, args: [splitting, from, to] });
      },
      () => undefined,
    );
    return scratches;
  } catch (error) {
    for (const { fd } of scratches) closeSync(fd);
    throw error;
  }
}

/**
 * The darkness of a picture on the raster of its plate, a grey scratch of 16 bit, where `faces` has a pixel; elsewhere
 * `elsewhere`, 0 (paper) … 65535.
 */
export async function faceScratch(
  turned: Turned,
  { box, x, y }: PlateLayout,
  faces: Bitmap,
  elsewhere: number,
  folder: string,
  signal: AbortSignal,
): Promise<Scratch> {
  const { widthPx, heightPx } = box;
  const rows = openResampler(darkSource(turned), x, y);
  const tone = new Uint16Array(widthPx);
  const fd = unnamed(folder, 'faces');
  try {
    await eachRow(heightPx, signal, (row) => {
      rows(row, tone);
      const at = row * faces.strideBytes;
      for (let i = 0; i < widthPx; i++) {
        const isFace = faces.data[at + (i >> 3)]! & (0x80 >> (i & 7));
        tone[i] = FULL_TONE - (isFace ? tone[i]! : elsewhere);
      }
      writeExactly(fd, tone, row * widthPx * 2);
    });
    return { fd, widthPx, heightPx, bytesPerSample: 2, offsetBytes: 0 };
  } catch (error) {
    closeSync(fd);
    throw error;
  }
}
