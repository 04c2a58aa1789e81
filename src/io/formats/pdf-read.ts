/** Reads the structure of a PDF plate back: trailer, page, image, and the bands of its stream. */

import type { LocatedPlate, ReadAt } from './contract.ts';
import { contentOf, dpiOfPoints, PRIVATE_BANDS, PRIVATE_ROWS } from './pdf-parts.ts';
import { bandsAt, readExactly, sameBytes, viewOf } from './rows.ts';
import { joinedAdler, TRAILER_BYTES, ZLIB_HEADER } from './zlib-bands.ts';

/** An object's dictionary as text and, if it has one, where its stream begins. */
interface PdfObject {
  readonly text: string;
  readonly streamAt: number;
}

const STEP_BYTES = 4096;
/** Far more than a dictionary with the bands of the largest plate. */
const MOST_BYTES = 1 << 24;

const textAt = (readAt: ReadAt, offset: number, bytes: number): string =>
  Buffer.from(readAt(offset, bytes)).toString('latin1');

/** The one number behind a name, or the numbers of its array. */
function numbersOf(text: string, name: string): number[] {
  const found = new RegExp(`/${name} (?:\\[([-+.\\d ]*)\\]|([-+.\\d]+)(?! \\d+ R))`).exec(text);
  const numbers = (found?.[1] ?? found?.[2] ?? '').trim().split(/\s+/).map(Number);
  if (found === null || numbers.some((number) => !Number.isFinite(number)))
    throw new Error(`/${name} is missing`);
  return numbers;
}

const numberOf = (text: string, name: string): number => numbersOf(text, name)[0]!;

/** Reads objects by their number through the cross-reference table that the end of the file points to. */
function openObjects(
  readAt: ReadAt,
  fileBytes: number,
): { trailer: string; object: (reference: RegExp, text: string) => PdfObject } {
  if (!/^%PDF-1\.7\n/.test(textAt(readAt, 0, 9))) throw new Error('the file does not begin as a PDF 1.7');
  const end = textAt(readAt, Math.max(0, fileBytes - 40), 40);
  const tableAt = /startxref\n(\d+)\n%%EOF\n$/.exec(end);
  if (tableAt === null) throw new Error('the file does not end as a PDF');
  const from = Number(tableAt[1]);
  const [, table, trailer] =
    /^xref\n0 \d+\n((?:\d{10} \d{5} [fn] \n)+)trailer\n(.*)startxref/s.exec(
      textAt(readAt, from, fileBytes - from),
    ) ?? [];
  if (table === undefined || trailer === undefined)
    throw new Error('the table of objects is not where it should be');
  const object = (reference: RegExp, text: string): PdfObject => {
    const id = Number(reference.exec(text)?.[1] ?? Number.NaN);
    const offset = Number(table.slice(id * 20, id * 20 + 10));
    if (!(id > 0) || !(offset > 0)) throw new Error(`nothing is found for ${reference.source}`);
    for (let bytes = STEP_BYTES; bytes <= MOST_BYTES; bytes *= 4) {
      const whole = textAt(readAt, offset, bytes);
      const found = /^(\d+) 0 obj\n(.*?)\n(stream\n|endobj\n)/s.exec(whole);
      if (found?.[1] === String(id)) return { text: found[2]!, streamAt: offset + found[0].length };
    }
    throw new Error(`object ${id} is not where it should be`);
  };
  return { trailer, object };
}

/** The picture must cover the page exactly, upright; nothing else may be on it. */
function checkContent(readAt: ReadAt, content: PdfObject, widthPt: number, heightPt: number): void {
  const text = textAt(readAt, content.streamAt, numberOf(content.text, 'Length'));
  if (text !== `1 0 0 -1 0 ${heightPt} cm\n${contentOf(widthPt, heightPt)}\n`)
    throw new Error('the page does not show the plate over all of itself');
}

export function locatePdf(readAt: ReadAt, fileBytes: number): LocatedPlate {
  const { trailer, object } = openObjects(readAt, fileBytes);
  const catalog = object(/\/Root (\d+) 0 R/, trailer);
  const page = object(/\/Kids \[(\d+) 0 R\]/, object(/\/Pages (\d+) 0 R/, catalog.text).text);
  const [left, bottom, widthPt, heightPt] = numbersOf(page.text, 'MediaBox') as [
    number,
    number,
    number,
    number,
  ];
  if (left !== 0 || bottom !== 0 || numberOf(page.text, 'UserUnit') !== 1)
    throw new Error('the page is not measured in points from its corner');
  checkContent(readAt, object(/\/Contents (\d+) 0 R/, page.text), widthPt, heightPt);
  const image = object(/\/Plate (\d+) 0 R/, object(/\/Resources (\d+) 0 R/, page.text).text);
  for (const entry of [
    '/Type /XObject',
    '/Subtype /Image',
    '/ColorSpace /DeviceGray',
    '/BitsPerComponent 1\n',
    '/Interpolate false',
    '/Filter /FlateDecode',
  ])
    if (!image.text.includes(entry)) throw new Error(`the image lacks ${entry.trim()}`);
  if (/\/(Decode|DecodeParms|ImageMask|Mask|SMask) /.test(image.text))
    throw new Error('the image has a key that changes what it shows');
  const widthPx = numberOf(image.text, 'Width');
  const heightPx = numberOf(image.text, 'Height');
  return {
    widthPx,
    heightPx,
    dpiX: dpiOfPoints(widthPx, widthPt),
    dpiY: dpiOfPoints(heightPx, heightPt),
    oneIsWhite: true,
    bands: locateBands(readAt, image, widthPx, heightPx),
  };
}

/** The bands of the image's stream, whose header and joint checksum must be right. */
function locateBands(
  readAt: ReadAt,
  image: PdfObject,
  widthPx: number,
  heightPx: number,
): LocatedPlate['bands'] {
  const listed = numbersOf(image.text, PRIVATE_BANDS);
  const length = numberOf(image.text, 'Length');
  let end = image.streamAt + ZLIB_HEADER.length;
  const places = [];
  for (let i = 0; i < listed.length; i += 2) {
    places.push({ offset: end, bytes: listed[i]!, adler: listed[i + 1]! });
    end += listed[i]!;
  }
  const bands = bandsAt(heightPx, numberOf(image.text, PRIVATE_ROWS), places);
  if (end + TRAILER_BYTES !== image.streamAt + length)
    throw new Error('the bands do not fill the stream of the image');
  if (!sameBytes(readExactly(readAt, image.streamAt, ZLIB_HEADER.length), ZLIB_HEADER))
    throw new Error('the stream of the image is no zlib stream');
  const rowBytes = (widthPx + 7) >>> 3;
  const adler = joinedAdler(bands.map((band) => ({ adler: band.adler!, rawBytes: band.rows * rowBytes })));
  if (viewOf(readExactly(readAt, end, TRAILER_BYTES)).getUint32(0) !== adler)
    throw new Error('wrong Adler-32 of the image');
  if (textAt(readAt, end + TRAILER_BYTES, 18) !== '\nendstream\nendobj\n')
    throw new Error('the stream of the image does not end where it should');
  return bands;
}
