/** PDF (ISO 32000-1): one page that is exactly the plate, holding one 1-bit DeviceGray image. */

import { strideFor } from '../../core/bitmap.ts';
import type { EncodedBand, FormatDef, LocatedBand, LocatedPlate, PlateHead } from './contract.ts';
import { contentOf, dpiOfPoints, PRIVATE_BANDS, PRIVATE_ROWS, pointsFor } from './pdf-parts.ts';
import { locatePdf } from './pdf-read.ts';
import { isTurned, plainLayout, storeRows, unstoreRows } from './rows.ts';
import { openWorkspace } from './workspace.ts';
import { checksumOf, joinedAdler, packBand, unpackBand, ZLIB_HEADER, zlibTrailer } from './zlib-bands.ts';

const unpackedRows = openWorkspace();

const isLastBand = (firstRow: number, rows: number, heightPx: number): boolean => firstRow + rows >= heightPx;

function encodeBand(
  rows: Uint8Array,
  { widthPx, heightPx, fire, packing }: PlateHead,
  firstRow: number,
): EncodedBand {
  // DeviceGray of 1 bit: 0 is black (8.6.5.2, 8.9.5.2)
  const raw = storeRows(rows, plainLayout(widthPx), isTurned(fire, true), unpackedRows);
  const isLast = isLastBand(firstRow, rows.length / strideFor(widthPx), heightPx);
  return { bytes: new Uint8Array(packBand(raw, isLast, packing)), ...checksumOf(raw) };
}

const bytesOf = (pieces: readonly Uint8Array[]): number =>
  pieces.reduce((sum, { byteLength }) => sum + byteLength, 0);
const latin1 = (text: string): Uint8Array => Buffer.from(text, 'latin1');

/** The tail of a file, from byte `at` on, once so many bytes have been put in front of it: objects lie that much further on. */
const movedTail = (tail: string, at: number, by: number): string =>
  tail
    .replaceAll(/^(\d{10})(?= \d{5} n $)/gm, (offset) =>
      String(Number(offset) + (Number(offset) < at ? 0 : by)).padStart(10, '0'),
    )
    .replace(/(?<=^startxref\n)\d+/m, (offset) => String(Number(offset) + by));

/**
 * The document is made without the stream of its image, which is then put in: the maker would lay all bands end to end
 * first, in memory of their own (2.2 GB at the peak at 5,000 million pixels, where 1.75 are promised).
 */
async function assemble(head: PlateHead, bands: readonly EncodedBand[]): Promise<Uint8Array[]> {
  // here and not above: it takes a third of a second to load, and most plates are no PDF
  const { default: PdfDocument } = await import('pdfkit');
  const widthPt = pointsFor(head.widthPx, head.dpi);
  const heightPt = pointsFor(head.heightPx, head.dpi);
  const document = new PdfDocument({
    size: [widthPt, heightPt],
    margin: 0,
    compress: false,
    pdfVersion: '1.7',
    font: '', // none: the page holds no text
    // the file's ID is made from these, so they must not change from run to run
    info: { Producer: 'etchwright', Creator: 'etchwright', CreationDate: new Date(0), ModDate: new Date(0) },
  });
  const data = [ZLIB_HEADER, ...bands.map(({ bytes }) => bytes), zlibTrailer(joinedAdler(bands))];
  const image = document.ref({
    Type: 'XObject',
    Subtype: 'Image',
    Width: head.widthPx,
    Height: head.heightPx,
    ColorSpace: 'DeviceGray',
    BitsPerComponent: 1,
    Interpolate: false,
    Filter: 'FlateDecode',
    [PRIVATE_ROWS]: Math.min(head.bandRows, head.heightPx),
    [PRIVATE_BANDS]: bands.flatMap(({ bytes, adler }) => [bytes.length, adler]),
    Length: bytesOf(data),
  });
  image.end(null);
  document.page.xobjects['Plate'] = image;
  document.addContent(contentOf(widthPt, heightPt));
  document.end();
  const pieces: Uint8Array[] = [];
  for await (const piece of document) pieces.push(piece as Uint8Array);
  const whole = Buffer.concat(pieces).toString('latin1');
  // the image is the first object
  const at = whole.indexOf('endobj\n');
  const stream = [latin1('stream\n'), ...data, latin1('\nendstream\n')];
  return [latin1(whole.slice(0, at)), ...stream, latin1(movedTail(whole.slice(at), at, bytesOf(stream)))];
}

function decodeBand(
  bytes: Uint8Array,
  plate: LocatedPlate,
  { firstRow, rows, adler }: LocatedBand,
): Uint8Array {
  const { widthPx, heightPx } = plate;
  const raw = unpackBand(bytes, isLastBand(firstRow, rows, heightPx), rows * strideFor(widthPx));
  if (checksumOf(raw).adler !== adler) throw new Error('wrong Adler-32 of a band');
  return unstoreRows(raw, plainLayout(widthPx), rows);
}

export const pdf: FormatDef = {
  kind: 'pdf',
  summary: 'PDF, one page of the size of the plate',
  extension: 'pdf',
  photometric: () => 'BlackIsZero',
  storedDpi: (dpi, sizePx) => dpiOfPoints(sizePx, pointsFor(sizePx, dpi)),
  encodeBand,
  assemble,
  locate: locatePdf,
  decodeBand,
};
