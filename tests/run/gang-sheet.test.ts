/** What a sheet is proved by: each plate cut out of the written file again. */
import { closeSync, openSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { type Bitmap, getBit, setBit } from '../../src/core/bitmap.ts';
import { rowExtents } from '../../src/core/time/extents.ts';
import { turned } from '../../src/core/turned.ts';
import { formats } from '../../src/run/formats.ts';
import type { LaidItem, LaidSheet } from '../../src/run/gang/layout.ts';
import { bitsSha256, type GangPlate } from '../../src/run/gang/plate.ts';
import { composeSheet, openSheetRoom, proveSheet } from '../../src/run/gang/sheet.ts';
import type { OpenFile } from '../../src/run/plate/plate-file.ts';
import { freshPlace } from '../cli/run-cli.ts';
import { drawn, write } from '../io/formats/plates.ts';

const place = freshPlace();
const bits = drawn(['11010110011', '10000000001', '01111111100']).etch;

const plate: GangPlate = {
  path: 'a.plate.png',
  file: 'a.plate.png',
  name: 'a',
  dpi: 500,
  widthPx: bits.widthPx,
  heightPx: bits.heightPx,
  sha256: 'a'.repeat(64),
  fire: 'dark',
  bitsSha256: bitsSha256(bits),
  etchedPx: 15,
  rows: rowExtents(bits),
  columns: rowExtents(turned(bits, 'clockwise')),
  beside: null,
};

function lying(xPx: number, yPx: number, isTurned: boolean): LaidItem {
  const [widthPx, heightPx] = isTurned ? [3, 11] : [11, 3];
  return {
    item: { plate, id: '01-abcdef', name: 'a', mirrored: true, screen: null },
    place: { piece: 0, xPx, yPx, turned: isTurned },
    box: { xPx, yPx, widthPx, heightPx },
    label: null,
  };
}

const sheet: LaidSheet = {
  number: 1,
  laid: [lying(2, 1, false), lying(15, 1, true), lying(3, 6, false)],
  raster: { widthPx: 19, heightPx: 13 },
};
const ground = { widthPx: 30, heightPx: 20, dpi: 500, clearPx: 2 };

async function composed(): Promise<Bitmap> {
  const bitmap = openSheetRoom([sheet]).bitmapFor(sheet);
  const bitsFor = async (_: GangPlate, isTurned: boolean) => (isTurned ? turned(bits, 'clockwise') : bits);
  await composeSheet(bitmap, sheet, ground, bitsFor, new AbortController().signal);
  return bitmap;
}

/** Proves a sheet by a file that holds other bits than were composed. */
async function proved(kind: keyof typeof formats, change: (written: Bitmap) => void): Promise<string[]> {
  const bitmap = await composed();
  const written = { ...bitmap, data: bitmap.data.slice() };
  change(written);
  const { widthPx, heightPx } = sheet.raster;
  const { head } = drawn(['0'], { bandRows: 5 });
  const path = join(place.path, kind);
  writeFileSync(path, await write(formats[kind], { head: { ...head, widthPx, heightPx }, etch: written }));
  const fd = openSync(path, 'r');
  const file: OpenFile = {
    kind,
    name: kind,
    slot: {
      tempPath: path,
      fd,
      write: async () => undefined,
      writeOver: async () => undefined,
      discard: async () => undefined,
    },
  };
  try {
    return proveSheet(bitmap, sheet, [file], 'dark');
  } finally {
    closeSync(fd);
  }
}

const KINDS = Object.keys(formats) as (keyof typeof formats)[];

test.each(KINDS)('%s: every copy has the hash of the plate, whatever happens in the waste', async (kind) => {
  const hashes = await proved(kind, (written) => setBit(written, 18, 12, 1));
  expect(hashes).toEqual([plate.bitsSha256, plate.bitsSha256, plate.bitsSha256]);
});

test.each(KINDS)('%s: one pixel of a plate that differs in the file is found', async (kind) => {
  for (const { box } of sheet.laid) {
    const x = box.xPx + box.widthPx - 1;
    const y = box.yPx + 1;
    await expect(
      proved(kind, (written) => setBit(written, x, y, getBit(written, x, y) === 1 ? 0 : 1)),
    ).rejects.toMatchObject({ kind: 'output', code: 'readback-differs' });
  }
});
