/** Header and image file directory of a grey TIFF of one sample: everything in front of the strips (TIFF 6.0, section 2). */

import type { Fraction } from './fraction.ts';
import { viewOf } from './rows.ts';

/** The numbers that differ between one plate's front and another's. */
export interface TiffFields {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Tag 258. */
  readonly bitsPerSample: number;
  /** Tag 259. */
  readonly compression: number;
  /** Tag 262: 0 WhiteIsZero, 1 BlackIsZero. */
  readonly photometric: number;
  readonly rowsPerStrip: number;
  readonly stripBytes: readonly number[];
  /** Pixels per inch. */
  readonly xResolution: Fraction;
  readonly yResolution: Fraction;
}

const IFD_AT = 8;
const FIELDS = 12;
const RATIONALS_AT = IFD_AT + 2 + FIELDS * 12 + 4;
const ARRAYS_AT = RATIONALS_AT + 16;

const SHORT = 3;
const LONG = 4;
const RATIONAL = 5;

/** Where the strips begin: two arrays of LONGs lie before them unless each is one number, kept in its field. */
export const tiffFrontBytes = (strips: number): number => ARRAYS_AT + (strips === 1 ? 0 : strips * 8);

/** The bytes of the front. Numbers take the smallest type the tag may have. */
export function tiffFront(fields: TiffFields): Uint8Array {
  const strips = fields.stripBytes.length;
  const bytes = new Uint8Array(tiffFrontBytes(strips));
  const view = viewOf(bytes);
  // the strips follow the front without a gap
  let end = bytes.length;
  const offsets = fields.stripBytes.map((stripBytes) => {
    end += stripBytes;
    return end - stripBytes;
  });
  bytes.set([0x49, 0x49, 42, 0, IFD_AT, 0, 0, 0]);
  view.setUint16(IFD_AT, FIELDS, true);
  let at = IFD_AT + 2;
  const put = (tag: number, type: number, count: number, valueOrOffset: number): void => {
    view.setUint16(at, tag, true);
    view.setUint16(at + 2, type, true);
    view.setUint32(at + 4, count, true);
    view.setUint32(at + 8, valueOrOffset, true);
    at += 12;
  };
  const putNumber = (tag: number, value: number): void => put(tag, value > 0xffff ? LONG : SHORT, 1, value);
  const putArray = (tag: number, values: readonly number[], arrayAt: number): void => {
    put(tag, LONG, strips, strips === 1 ? values[0]! : arrayAt);
    if (strips > 1) for (const [i, value] of values.entries()) view.setUint32(arrayAt + i * 4, value, true);
  };
  const putRational = (tag: number, { over, under }: Fraction, rationalAt: number): void => {
    put(tag, RATIONAL, 1, rationalAt);
    view.setUint32(rationalAt, over, true);
    view.setUint32(rationalAt + 4, under, true);
  };
  putNumber(256, fields.widthPx); // ImageWidth
  putNumber(257, fields.heightPx); // ImageLength
  putNumber(258, fields.bitsPerSample);
  putNumber(259, fields.compression);
  putNumber(262, fields.photometric);
  putArray(273, offsets, ARRAYS_AT); // StripOffsets
  putNumber(277, 1); // SamplesPerPixel
  putNumber(278, fields.rowsPerStrip);
  putArray(279, fields.stripBytes, ARRAYS_AT + strips * 4); // StripByteCounts
  putRational(282, fields.xResolution, RATIONALS_AT);
  putRational(283, fields.yResolution, RATIONALS_AT + 8);
  putNumber(296, 2); // ResolutionUnit: inch
  return bytes;
}

/** The numbers of a front of this layout; whether the rest of it fits them is the caller's to compare. */
export function readTiffFields(front: Uint8Array): TiffFields {
  const view = viewOf(front);
  const field = (index: number): number => view.getUint32(IFD_AT + 2 + index * 12 + 8, true);
  const rational = (at: number): Fraction => ({
    over: view.getUint32(at, true),
    under: view.getUint32(at + 4, true),
  });
  const strips = stripCount(front);
  const countsAt = ARRAYS_AT + strips * 4;
  const stripBytes =
    strips === 1
      ? [field(8)]
      : Array.from({ length: strips }, (_, i) => view.getUint32(countsAt + i * 4, true));
  return {
    widthPx: field(0),
    heightPx: field(1),
    bitsPerSample: field(2),
    compression: field(3),
    photometric: field(4),
    rowsPerStrip: field(7),
    stripBytes,
    xResolution: rational(RATIONALS_AT),
    yResolution: rational(RATIONALS_AT + 8),
  };
}

/** Number of strips, from the part of a front that is always there. */
export const stripCount = (front: Uint8Array): number =>
  viewOf(front).getUint32(IFD_AT + 2 + 5 * 12 + 4, true);
