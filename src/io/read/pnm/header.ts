import { type ByteSource, latin1 } from '../bytes.ts';
import { byteStream } from '../plain/byte-stream.ts';

export interface PnmHeader {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Grey, grey and transparency, RGB, RGB and transparency. */
  readonly channels: 1 | 2 | 3 | 4;
  /** The value that means full light. */
  readonly most: number;
  readonly coding: 'text' | 'bytes' | 'bits';
  /** True where 1 means black (PBM). */
  readonly bilevel: boolean;
  /** Where the samples begin. */
  readonly start: number;
}

// A header is a few dozen characters; comments may make it longer.
const mostHeaderBytes = 1 << 16;
const mostSide = 1 << 30;

/** Reads the header; `corrupt` where it ends early or makes no sense, `unknown` for PAM pictures of another kind. */
export function readPnmHeader(bytes: ByteSource): PnmHeader | 'corrupt' | 'unknown' {
  const kind = latin1(bytes.read(0, 2)).charCodeAt(1) - 0x30;
  return kind === 7 ? pamHeader(bytes) : plainHeader(bytes, kind);
}

function plainHeader(bytes: ByteSource, kind: number): PnmHeader | 'corrupt' {
  const stream = byteStream(bytes, 2);
  const number = (): number => {
    let byte = stream.next();
    while (byte >= 0 && (byte < 0x30 || byte > 0x39) && stream.place() < mostHeaderBytes) {
      if (byte === 0x23) while (byte >= 0 && byte !== 0x0a) byte = stream.next();
      else if (byte > 0x20) return Number.NaN;
      byte = stream.next();
    }
    let digits = '';
    for (; byte >= 0x30 && byte <= 0x39 && digits.length < 12; byte = stream.next()) {
      digits += String.fromCharCode(byte);
    }
    return digits === '' ? Number.NaN : Number(digits);
  };
  const bilevel = kind === 1 || kind === 4;
  const widthPx = number();
  const heightPx = number();
  const most = bilevel ? 1 : number();
  const channels = kind === 3 || kind === 6 ? 3 : 1;
  const coding = kind <= 3 ? 'text' : bilevel ? 'bits' : 'bytes';
  // One white-space character ends the header; reading the last number has taken it.
  return sound({ widthPx, heightPx, channels, most, coding, bilevel, start: stream.place() });
}

const kindOfTuple: Readonly<Record<string, PnmHeader['channels']>> = {
  BLACKANDWHITE: 1,
  GRAYSCALE: 1,
  RGB: 3,
  BLACKANDWHITE_ALPHA: 2,
  GRAYSCALE_ALPHA: 2,
  RGB_ALPHA: 4,
};

function pamHeader(bytes: ByteSource): PnmHeader | 'corrupt' | 'unknown' {
  const text = latin1(bytes.read(0, 4096));
  const end = /\nENDHDR[^\n]*\n/.exec(text);
  if (!end) return 'corrupt';
  const fields = new Map<string, string>();
  for (const line of text.slice(3, end.index).split('\n')) {
    const [, name, value] = /^\s*([A-Z]+)\s+(\S+)/.exec(line) ?? [];
    if (name && value) fields.set(name, value);
  }
  const depth = Number(fields.get('DEPTH'));
  const channels = kindOfTuple[fields.get('TUPLTYPE') ?? ''] ?? ([1, 2, 3, 4] as const)[depth - 1];
  if (channels === undefined || channels !== depth) return 'unknown';
  return sound({
    widthPx: Number(fields.get('WIDTH')),
    heightPx: Number(fields.get('HEIGHT')),
    channels,
    most: Number(fields.get('MAXVAL')),
    coding: 'bytes',
    bilevel: false,
    start: end.index + end[0].length,
  });
}

function sound(header: PnmHeader): PnmHeader | 'corrupt' {
  const { widthPx, heightPx, most } = header;
  const whole = (value: number, top: number) => Number.isInteger(value) && value >= 1 && value <= top;
  return whole(widthPx, mostSide) && whole(heightPx, mostSide) && whole(most, 65535) ? header : 'corrupt';
}
