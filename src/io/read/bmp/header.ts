import { type ByteSource, latin1 } from '../bytes.ts';
import type { Ppi } from '../headers/resolution.ts';

/** Bits of a pixel that hold one colour: where they start and how many there are; none for no such colour. */
export interface ChannelBits {
  readonly shift: number;
  readonly bits: number;
}

export interface BmpHeader {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Rows stored from the bottom, as is usual. */
  readonly bottomUp: boolean;
  readonly bitsPerPixel: 1 | 2 | 4 | 8 | 16 | 24 | 32;
  readonly runLength: boolean;
  /** Red, green, blue of each index, three bytes each. */
  readonly palette: Uint8Array;
  /** Red, green, blue, alpha of packed pixels (16 and 32 bit). */
  readonly channels: readonly [ChannelBits, ChannelBits, ChannelBits, ChannelBits];
  readonly ppi: Ppi | null;
  readonly start: number;
}

const fileHeaderBytes = 14;
const metresPerInch = 0.0254;
const mostSide = 1 << 30;
// Compression numbers of BITMAPINFOHEADER (Microsoft Open Specifications, MS-WMF 2.1.1.7).
const compressions = { rgb: 0, rle8: 1, rle4: 2, bitFields: 3, alphaBitFields: 6 } as const;

const none: ChannelBits = { shift: 0, bits: 0 };
const channelOf = (mask: number): ChannelBits => {
  if (mask === 0) return none;
  const shift = 31 - Math.clz32(mask & -mask);
  return { shift, bits: 32 - Math.clz32(mask >>> shift) };
};

/**
 * Reads the headers and palette of a Windows or OS/2 bitmap (MS-WMF 2.2.2.3 BITMAPINFOHEADER, 2.2.2.2
 * BITMAPCOREHEADER; Windows GDI BITMAPV4HEADER and V5). `corrupt` where they make no sense, `unknown` for JPEG and
 * PNG data inside and for depths that do not exist.
 */
export function readBmpHeader(bytes: ByteSource): BmpHeader | 'corrupt' | 'unknown' {
  const view = bytes.read(0, fileHeaderBytes + 124);
  if (view.byteLength < fileHeaderBytes + 12 || latin1(view, 0, 2) !== 'BM') return 'corrupt';
  const size = view.getUint32(14, true);
  const core = size === 12;
  if ((!core && size < 40) || view.byteLength < fileHeaderBytes + Math.min(size, 124)) return 'corrupt';
  const width = core ? view.getUint16(18, true) : view.getInt32(18, true);
  const height = core ? view.getUint16(20, true) : view.getInt32(22, true);
  const bitsPerPixel = view.getUint16(core ? 24 : 28, true);
  const compression = core ? compressions.rgb : view.getUint32(30, true);
  if (width < 1 || width > mostSide || height === 0 || Math.abs(height) > mostSide) return 'corrupt';
  if (!isDepth(bitsPerPixel) || !fits(compression, bitsPerPixel)) return 'unknown';

  const masked = compression === compressions.bitFields || compression === compressions.alphaBitFields;
  const alphaMask = size >= 56 || compression === compressions.alphaBitFields;
  const loose = masked && size === 40 ? (alphaMask ? 16 : 12) : 0;
  const masks = bytes.read(54, 16);
  if (masked && masks.byteLength < (alphaMask ? 16 : 12)) return 'corrupt';
  const mask = (colour: number) => channelOf(masks.getUint32(colour * 4, true));
  const ppm = core ? [0, 0] : [view.getInt32(38, true), view.getInt32(42, true)];
  return {
    widthPx: width,
    heightPx: Math.abs(height),
    bottomUp: height > 0,
    bitsPerPixel,
    runLength: compression === compressions.rle8 || compression === compressions.rle4,
    palette: paletteOf(
      bytes,
      fileHeaderBytes + size + loose,
      core ? 3 : 4,
      bitsPerPixel,
      core ? 0 : view.getUint32(46, true),
    ),
    channels: masked ? [mask(0), mask(1), mask(2), alphaMask ? mask(3) : none] : usualChannels(bitsPerPixel),
    ppi: { x: ppm[0]! * metresPerInch, y: ppm[1]! * metresPerInch },
    start: view.getUint32(10, true),
  };
}

const isDepth = (bits: number): bits is BmpHeader['bitsPerPixel'] => [1, 2, 4, 8, 16, 24, 32].includes(bits);

function fits(compression: number, bits: number): boolean {
  switch (compression) {
    case compressions.rgb:
      return true;
    case compressions.rle8:
      return bits === 8;
    case compressions.rle4:
      return bits === 4;
    case compressions.bitFields:
    case compressions.alphaBitFields:
      return bits === 16 || bits === 32;
    default:
      return false;
  }
}

/** 5 bits a colour in 16; 8 in 32, whose fourth byte means nothing. */
const usualChannels = (bits: number): BmpHeader['channels'] =>
  bits === 16
    ? [channelOf(0x7c00), channelOf(0x03e0), channelOf(0x001f), none]
    : [channelOf(0xff0000), channelOf(0xff00), channelOf(0xff), none];

/** The palette as red, green, blue; black for indices it leaves out. */
function paletteOf(bytes: ByteSource, at: number, entryBytes: 3 | 4, bits: number, used: number): Uint8Array {
  if (bits > 8) return new Uint8Array(0);
  const entries = 2 ** bits;
  const stored = bytes.read(at, Math.min(entries, used || entries) * entryBytes);
  const palette = new Uint8Array(entries * 3);
  for (let entry = 0; (entry + 1) * entryBytes <= stored.byteLength; entry++) {
    for (let colour = 0; colour < 3; colour++) {
      palette[entry * 3 + colour] = stored.getUint8(entry * entryBytes + 2 - colour);
    }
  }
  return palette;
}
