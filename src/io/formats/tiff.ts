/** TIFF 6.0 (Aldus 1992), classic, little-endian: bilevel (section 3) or grey (section 4), one strip a band. */

import { deflateSync, inflateSync } from 'node:zlib';
import { decodeGroup4 } from './ccitt-decode.ts';
import { encodeGroup4 } from './ccitt-encode.ts';
import type {
  EncodedBand,
  FormatDef,
  GrowingFile,
  LocatedBand,
  LocatedPlate,
  PlateHead,
  ReadAt,
} from './contract.ts';
import { exactFraction } from './fraction.ts';
import { refuseOver4GiB } from './limits.ts';
import {
  bandsAt,
  type DepthBits,
  isTurned,
  plainLayout,
  readExactly,
  sameBytes,
  storeRows,
  unstoreRows,
} from './rows.ts';
import { readTiffFields, stripCount, tiffFront, tiffFrontBytes } from './tiff-front.ts';
import { openWorkspace } from './workspace.ts';
import { STRATEGIES } from './zlib-bands.ts';

const unpackedRows = openWorkspace();

/** Which stored value is white. */
type Photometric = 'WhiteIsZero' | 'BlackIsZero';

interface Strip {
  readonly widthPx: number;
  readonly rowBytes: number;
  readonly rows: number;
}

/** One way of packing a strip: its code in tag 259, and there and back. */
interface Packing {
  readonly code: number;
  pack(stored: Uint8Array, head: PlateHead): Uint8Array;
  unpack(packed: Uint8Array, strip: Strip): Uint8Array;
}

const packings = {
  deflate: {
    code: 8, // "Adobe deflate": a zlib stream a strip (TIFF Technical Note of 22 March 2002)
    pack: (stored, { packing }) =>
      new Uint8Array(deflateSync(stored, { level: 1, strategy: STRATEGIES[packing], chunkSize: 1 << 18 })),
    unpack: (packed, { rowBytes, rows }) =>
      inflateSync(packed, { chunkSize: rows * rowBytes + 64, maxOutputLength: rows * rowBytes }),
  },
  group4: {
    code: 4, // ITU-T T.6 (TIFF 6.0, section 11)
    pack: (stored, { widthPx }) => encodeGroup4(stored, widthPx),
    unpack: (packed, { widthPx, rows }) => decodeGroup4(packed, widthPx, rows),
  },
} as const satisfies Record<PlateHead['tiff'], Packing>;

interface TiffOptions {
  /** By default the plate's own wish. */
  readonly compression?: PlateHead['tiff'];
  /** By default the stored bits are the etch bits, and the tag says which colour fires. */
  readonly photometric?: Photometric;
}

function locateTiff(readAt: ReadAt, fileBytes: number, depthBits: DepthBits): LocatedPlate {
  const count = stripCount(readExactly(readAt, 0, tiffFrontBytes(1)));
  const frontBytes = tiffFrontBytes(count);
  if (count < 1 || frontBytes > fileBytes) throw new Error('the file does not begin as a grey TIFF of ours');
  const front = readExactly(readAt, 0, frontBytes);
  const fields = readTiffFields(front);
  if (!sameBytes(front, tiffFront(fields))) throw new Error('the fields of the TIFF do not fit each other');
  const { widthPx, heightPx, rowsPerStrip, stripBytes, photometric } = fields;
  if (fields.bitsPerSample !== depthBits)
    throw new Error(`the file has ${fields.bitsPerSample} bits a pixel, not ${depthBits}`);
  const compression = Object.entries(packings).find(
    ([, packing]) => packing.code === fields.compression,
  )?.[0];
  if (compression === undefined) throw new Error(`compression ${fields.compression} is none of ours`);
  if (photometric > 1) throw new Error(`photometric interpretation ${photometric} is not grey`);
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

/** TIFFs of one depth whose strips are packed in one way; either photometric shows the same picture. */
function tiffStore(depthBits: DepthBits, { compression, photometric }: TiffOptions) {
  const photometricFor = ({ fire }: PlateHead): Photometric =>
    photometric ?? (fire === 'dark' ? 'WhiteIsZero' : 'BlackIsZero');
  const packingFor = ({ tiff }: PlateHead): Packing => packings[compression ?? tiff];

  function encodeBand(rows: Uint8Array, head: PlateHead): EncodedBand {
    const turned = isTurned(head.fire, photometricFor(head) === 'BlackIsZero');
    const stored = turned
      ? storeRows(rows, plainLayout(head.widthPx, depthBits), turned, unpackedRows)
      : rows;
    return { bytes: packingFor(head).pack(stored, head) };
  }

  function grow(head: PlateHead): GrowingFile {
    const { widthPx, heightPx, bandRows } = head;
    const stripBytes: number[] = [];
    let fileBytes = tiffFrontBytes(Math.ceil(heightPx / bandRows));
    // the front holds where the strips lie, so it comes last
    const start = new Uint8Array(fileBytes);
    const resolution = exactFraction(head.dpi);
    return {
      start,
      put({ bytes }) {
        stripBytes.push(bytes.length);
        fileBytes += bytes.length;
        refuseOver4GiB('TIFF', fileBytes);
        return [bytes];
      },
      front: () =>
        tiffFront({
          widthPx,
          heightPx,
          bitsPerSample: depthBits,
          compression: packingFor(head).code,
          photometric: photometricFor(head) === 'BlackIsZero' ? 1 : 0,
          rowsPerStrip: Math.min(bandRows, heightPx),
          stripBytes,
          xResolution: resolution,
          yResolution: resolution,
        }),
    };
  }

  function decodeBand(bytes: Uint8Array, plate: LocatedPlate, { rows }: LocatedBand): Uint8Array {
    const layout = plainLayout(plate.widthPx, depthBits);
    const strip: Strip = { widthPx: plate.widthPx, rowBytes: layout.rowBytes, rows };
    return unstoreRows(packings[plate.compression as PlateHead['tiff']].unpack(bytes, strip), layout, rows);
  }

  return {
    photometric: photometricFor,
    packed: ({ tiff }: PlateHead): PlateHead['tiff'] => compression ?? tiff,
    encodeBand,
    grow,
    locate: (readAt: ReadAt, fileBytes: number) => locateTiff(readAt, fileBytes, depthBits),
    decodeBand,
  };
}

/** A writer of TIFFs: of marks as the options say, of tone as most readers want it. */
export function tiffWriter(options: TiffOptions): FormatDef {
  const bits = tiffStore(1, options);
  return {
    kind: 'tiff',
    summary: 'TIFF, bilevel; 8-bit grey without a screen',
    extension: 'tif',
    storedDpi: (dpi) => {
      const { over, under } = exactFraction(dpi);
      return over / under;
    },
    ...bits,
    assemble(head, bands) {
      const file = bits.grow(head);
      const strips = bands.flatMap((band) => file.put(band));
      return [file.front(), ...strips];
    },
    tone: {
      ...tiffStore(8, { compression: 'deflate', photometric: 'BlackIsZero' }),
      packsAs: (tiff) => tiff === 'deflate',
    },
  };
}

export const tiff: FormatDef = tiffWriter({});
