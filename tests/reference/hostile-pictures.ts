/** Pictures that mean harm, each from a few lines: what their headers promise and what their bytes unpack to. */
import { deflateSync } from 'node:zlib';

const u16 = (...values: number[]): Buffer => {
  const bytes = Buffer.alloc(2 * values.length);
  for (const [i, value] of values.entries()) bytes.writeUInt16LE(value, 2 * i);
  return bytes;
};
const u32 = (...values: number[]): Buffer => {
  const bytes = Buffer.alloc(4 * values.length);
  for (const [i, value] of values.entries()) bytes.writeUInt32LE(value >>> 0, 4 * i);
  return bytes;
};
const be32 = (...values: number[]): Buffer => u32(...values).swap32();

/** Zeros, packed a thousandfold; packed once for all sizes would be no shorter. */
export const packedZeros = (bytes: number): Buffer => deflateSync(Buffer.alloc(bytes), { level: 6 });

const crcTable = Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
  return c >>> 0;
});
/** PNG, third edition, annex D. */
function crc(bytes: Buffer): number {
  let c = 0xffffffff;
  for (const byte of bytes) c = crcTable[(c ^ byte) & 255]! ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

export const pngChunk = (type: string, data: Buffer): Buffer => {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  return Buffer.concat([be32(data.length), body, be32(crc(body))]);
};

export interface PngWish {
  readonly width: number;
  readonly height: number;
  readonly depth?: number;
  readonly colour?: number;
  readonly interlaced?: boolean;
  readonly chunks?: readonly Buffer[];
  readonly data?: Buffer;
}

/** PNG, third edition, 11.2: whatever header with whatever data. */
export const png = ({
  width,
  height,
  depth = 8,
  colour = 0,
  interlaced,
  chunks = [],
  data,
}: PngWish): Buffer =>
  Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    pngChunk(
      'IHDR',
      Buffer.concat([be32(width, height), Buffer.from([depth, colour, 0, 0, interlaced ? 1 : 0])]),
    ),
    ...chunks,
    ...(data ? [pngChunk('IDAT', data)] : []),
    pngChunk('IEND', Buffer.alloc(0)),
  ]);

/** TIFF 6.0, section 2: tags of one value each, in ascending order, and what strips hold. */
export function tiff(
  tags: Readonly<Record<number, number>>,
  data: Buffer = Buffer.alloc(0),
  next = 0,
): Buffer {
  const entries = Object.entries(tags).map(([tag, value]) =>
    Buffer.concat([u16(Number(tag), 4), u32(1, value)]),
  );
  return Buffer.concat([
    Buffer.from('II*\0', 'latin1'),
    u32(8),
    u16(entries.length),
    ...entries,
    u32(next),
    data,
  ]);
}

/** Where the data of a TIFF of so many tags begins. */
export const tiffDataAt = (tags: number): number => 8 + 2 + 12 * tags + 4;

/** GIF89a, section 18: a canvas with one frame of a pixel. */
export const gif = (width: number, height: number, frames = 1): Buffer =>
  Buffer.concat([
    Buffer.from('GIF89a', 'latin1'),
    u16(width, height),
    Buffer.from([0x80, 0, 0, 255, 255, 255, 0, 0, 0]),
    ...Array.from({ length: frames }, () =>
      Buffer.from([0x21, 0xf9, 4, 0, 1, 0, 0, 0, 0x2c, 0, 0, 0, 0, 1, 0, 1, 0, 0, 2, 2, 0x44, 1, 0]),
    ),
    Buffer.from([0x3b]),
  ]);

/** RFC 9649: an extended WebP with a canvas of 24 bits a side and no frame. */
export const webpCanvas = (width: number, height: number, rest = Buffer.alloc(0)): Buffer => {
  const side = (value: number) => u32(value - 1).subarray(0, 3);
  const body = Buffer.concat([
    Buffer.from('WEBPVP8X', 'latin1'),
    u32(10),
    Buffer.from([0, 0, 0, 0]),
    side(width),
    side(height),
    rest,
  ]);
  return Buffer.concat([Buffer.from('RIFF', 'latin1'), u32(body.length), body]);
};

/** BITMAPFILEHEADER and BITMAPINFOHEADER, and so many bytes of pixels. */
export const bmp = (width: number, height: number, bits: number, pixels = 16): Buffer =>
  Buffer.concat([
    Buffer.from('BM', 'latin1'),
    u32(54 + pixels, 0, 54, 40, width, height),
    u16(1, bits),
    u32(0, 0, 0, 0, 0, 0),
    Buffer.alloc(pixels),
  ]);

/** JPEG (ITU-T T.81, B.2.2) with another size in its frame header. */
export function jpegResized(jpeg: Buffer, width: number, height: number): Buffer {
  const bytes = Buffer.from(jpeg);
  for (let at = 2; at < bytes.length; at += 2 + bytes.readUInt16BE(at + 2)) {
    const marker = bytes[at + 1]!;
    if (marker < 0xc0 || marker > 0xc2) continue;
    bytes.writeUInt16BE(height, at + 5);
    bytes.writeUInt16BE(width, at + 7);
    return bytes;
  }
  throw new Error('no frame header');
}

/** AVIF (ISO/IEC 23000-22) with another size in its `ispe` properties. */
export function avifResized(avif: Buffer, width: number, height: number): Buffer {
  const bytes = Buffer.from(avif);
  for (let at = bytes.indexOf('ispe'); at >= 0; at = bytes.indexOf('ispe', at + 4)) {
    bytes.writeUInt32BE(width, at + 8);
    bytes.writeUInt32BE(height, at + 12);
  }
  return bytes;
}

const svgOpen = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"';
/** A drawing of 100 units, with what else its root and body are to hold. */
export const svg = (
  body: string,
  root = 'width="10mm" height="10mm" viewBox="0 0 100 100"',
  front = '',
): Buffer => Buffer.from(`${front}${svgOpen} ${root}>${body}</svg>`);

/** Entities that refer to ten of the next, nine deep (CAPEC-197). */
export const laughs = (): Buffer => {
  const entities = Array.from({ length: 9 }, (_, i) => `<!ENTITY l${i + 1} "${`&l${i};`.repeat(10)}">`);
  return svg('<text>&l9;</text>', undefined, `<!DOCTYPE svg [<!ENTITY l0 "ha">${entities.join('')}]>`);
};

/** The same with `use`: a square drawn ten to the power of `depth` times. */
export const uses = (depth: number): Buffer => {
  const groups = Array.from(
    { length: depth },
    (_, i) => `<g id="u${i + 1}">${`<use xlink:href="#u${i}"/>`.repeat(10)}</g>`,
  );
  return svg(
    `<defs><rect id="u0" width="9" height="9"/>${groups.join('')}</defs><use xlink:href="#u${depth}"/>`,
  );
};
