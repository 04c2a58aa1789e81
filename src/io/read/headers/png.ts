import { type ByteSource, latin1 } from '../bytes.ts';
import type { Ppi } from './resolution.ts';

/** What the chunks before a PNG's pixels say that the decoder does not tell. */
export interface PngHeader {
  readonly ppi: Ppi | null;
  /** 1 for a file that is not animated. */
  readonly frames: number;
  /** Encoding exponent of the gAMA chunk; null where none counts: a profile, sRGB or cICP chunk comes first. */
  readonly gamma: number | null;
}

const metresPerInch = 0.0254;
// A picture has a few dozen chunks before its pixels; a file made of empty ones must not keep us busy.
const mostChunks = 2000;

/** Walks the chunks up to the first pixels (PNG, third edition, section 5.3 and 11.3). */
export function readPng(file: ByteSource): PngHeader {
  let ppi: Ppi | null = null;
  let frames = 1;
  let gamma: number | null = null;
  let colourKnown = false;
  let at = 8;
  for (let count = 0; count < mostChunks; count++) {
    const head = file.read(at, 8);
    if (head.byteLength < 8) break;
    const length = head.getUint32(0);
    const type = latin1(head, 4, 4);
    if (type === 'IDAT' || type === 'IEND') break;
    const data = file.read(at + 8, Math.min(length, 9));
    if (type === 'pHYs' && data.byteLength === 9 && data.getUint8(8) === 1) {
      ppi = { x: data.getUint32(0) * metresPerInch, y: data.getUint32(4) * metresPerInch };
    }
    if (type === 'acTL' && data.byteLength >= 8) frames = Math.max(1, data.getUint32(0));
    if (type === 'gAMA' && data.byteLength >= 4) gamma = data.getUint32(0) / 100_000 || null;
    // PNG, third edition, 4.3: these override gAMA, in whatever order they come.
    if (type === 'iCCP' || type === 'sRGB' || type === 'cICP') colourKnown = true;
    at += 12 + length;
  }
  return { ppi, frames, gamma: colourKnown ? null : gamma };
}
