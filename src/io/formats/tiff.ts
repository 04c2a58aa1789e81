/** TIFF 6.0 (Aldus 1992), classic, little-endian: bilevel (section 3), one strip a band. */

import { deflateSync, inflateSync } from 'node:zlib';
import { strideFor } from '../../core/bitmap.ts';
import { decodeGroup4 } from './ccitt-decode.ts';
import { encodeGroup4 } from './ccitt-encode.ts';
import type { EncodedBand, FormatDef, LocatedBand, LocatedPlate, PlateHead, ReadAt } from './contract.ts';
import { exactFraction } from './fraction.ts';
import { refuseOver4GiB } from './limits.ts';
import { bandsAt, isTurned, plainLayout, readExactly, sameBytes, storeRows, unstoreRows } from './rows.ts';
import { readTiffFields, stripCount, tiffFront, tiffFrontBytes } from './tiff-front.ts';
import { STRATEGIES } from './zlib-bands.ts';

/** Which stored value is white. */
type Photometric = 'WhiteIsZero' | 'BlackIsZero';

/** One way of packing a strip: its code in tag 259, and there and back. */
interface Packing {
  readonly code: number;
  pack(stored: Uint8Array, head: PlateHead): Uint8Array;
  unpack(packed: Uint8Array, widthPx: number, rows: number): Uint8Array;
}

const packings = {
  deflate: {
    code: 8, // "Adobe deflate": a zlib stream a strip (TIFF Technical Note of 22 March 2002)
    pack: (stored, { packing }) =>
      new Uint8Array(deflateSync(stored, { level: 1, strategy: STRATEGIES[packing], chunkSize: 1 << 18 })),
    unpack: (packed, widthPx, rows) =>
      inflateSync(packed, { chunkSize: 1 << 18, maxOutputLength: rows * strideFor(widthPx) }),
  },
  group4: {
    code: 4, // ITU-T T.6 (TIFF 6.0, section 11)
    pack: (stored, { widthPx }) => encodeGroup4(stored, widthPx),
    unpack: decodeGroup4,
  },
} as const satisfies Record<PlateHead['tiff'], Packing>;

interface TiffOptions {
  /** By default the plate's own wish. */
  readonly compression?: PlateHead['tiff'];
  /** By default the stored bits are the etch bits, and the tag says which colour fires. */
  readonly photometric?: Photometric;
}

function locate(readAt: ReadAt, fileBytes: number): LocatedPlate {
  const count = stripCount(readExactly(readAt, 0, tiffFrontBytes(1)));
  const frontBytes = tiffFrontBytes(count);
  if (count < 1 || frontBytes > fileBytes)
    throw new Error('the file does not begin as a bilevel TIFF of ours');
  const front = readExactly(readAt, 0, frontBytes);
  const fields = readTiffFields(front);
  if (!sameBytes(front, tiffFront(fields))) throw new Error('the fields of the TIFF do not fit each other');
  const { widthPx, heightPx, rowsPerStrip, stripBytes, photometric } = fields;
  const compression = Object.entries(packings).find(
    ([, packing]) => packing.code === fields.compression,
  )?.[0];
  if (compression === undefined) throw new Error(`compression ${fields.compression} is none of ours`);
  if (photometric > 1) throw new Error(`photometric interpretation ${photometric} is not bilevel`);
  let end = frontBytes;
  const strips = stripBytes.map((bytes) => {
    end += bytes;
    return { offset: end - bytes, bytes };
  });
  if (end !== fileBytes) throw new Error(`the file has ${fileBytes} bytes, its strips end at ${end}`);
  return {
    widthPx,
    heightPx,
    dpiX: fields.xResolution.over / fields.xResolution.under,
    dpiY: fields.yResolution.over / fields.yResolution.under,
    oneIsWhite: photometric === 1,
    compression,
    bands: bandsAt(heightPx, rowsPerStrip, strips),
  };
}

function decodeBand(bytes: Uint8Array, plate: LocatedPlate, { rows }: LocatedBand): Uint8Array {
  const { widthPx } = plate;
  const stored = packings[plate.compression as PlateHead['tiff']].unpack(bytes, widthPx, rows);
  return unstoreRows(stored, plainLayout(widthPx), rows);
}

/** A writer of TIFFs whose strips are packed in one way; either photometric shows the same picture. */
export function tiffWriter({ compression, photometric }: TiffOptions): FormatDef {
  const photometricFor = ({ fire }: PlateHead): Photometric =>
    photometric ?? (fire === 'dark' ? 'WhiteIsZero' : 'BlackIsZero');
  const packingFor = ({ tiff }: PlateHead): Packing => packings[compression ?? tiff];
  return {
    kind: 'tiff',
    summary: 'TIFF, bilevel',
    extension: 'tif',
    photometric: photometricFor,
    storedDpi: (dpi) => {
      const { over, under } = exactFraction(dpi);
      return over / under;
    },
    encodeBand(rows, head): EncodedBand {
      const { widthPx } = head;
      const turned = isTurned(head.fire, photometricFor(head) === 'BlackIsZero');
      const stored = turned ? storeRows(rows, plainLayout(widthPx), turned) : rows;
      return { bytes: packingFor(head).pack(stored, head) };
    },
    assemble(head, bands) {
      const stripBytes = bands.map((band) => band.bytes.length);
      const bytes = stripBytes.reduce((sum, strip) => sum + strip, tiffFrontBytes(stripBytes.length));
      refuseOver4GiB('TIFF', bytes);
      const resolution = exactFraction(head.dpi);
      const front = tiffFront({
        widthPx: head.widthPx,
        heightPx: head.heightPx,
        compression: packingFor(head).code,
        photometric: photometricFor(head) === 'BlackIsZero' ? 1 : 0,
        rowsPerStrip: Math.min(head.bandRows, head.heightPx),
        stripBytes,
        xResolution: resolution,
        yResolution: resolution,
      });
      return [front, ...bands.map((band) => band.bytes)];
    },
    locate,
    decodeBand,
  };
}

export const tiff: FormatDef = tiffWriter({});
