import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import { EtchError } from '../core/errors.ts';

/**
 * A grey picture lying in an unnamed file: plain rows of samples, top row first, 8 bit or 16 bit little-endian.
 * Plain data, so a worker thread of the same process can be handed it; whoever opened it closes it.
 */
export interface Scratch {
  readonly fd: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bytesPerSample: 1 | 2;
  /** Where the first sample lies in the file. */
  readonly offsetBytes: number;
}

/** What lies in a `.v` file: like a scratch, but with one to four samples a pixel, side by side. */
export interface Samples extends Scratch {
  readonly bands: number;
}

// libvips, doc/file-format.md: 64 bytes of header, then the pixels; the first four bytes as a little-endian machine writes them.
const headerBytes = 64;
const bytesOfFormat: Readonly<Record<number, 1 | 2>> = { 0: 1, 2: 2 };

const unusable = (what: string) =>
  new EtchError(
    'output',
    'scratch-unusable',
    `The scratch file of the picture is not laid out as expected: ${what}.`,
    'Make room in the temporary folder and try again; if it happens again, please report it.',
  );

/** Opens a `.v` file that libvips has just written and checks its header and length before trusting it. */
export function openSamples(file: string): Samples {
  const fd = openSync(file, 'r+');
  try {
    return checkedSamples(fd);
  } catch (error) {
    closeSync(fd);
    throw error;
  }
}

function checkedSamples(fd: number): Samples {
  const bytes = new Uint8Array(headerBytes);
  if (readSync(fd, bytes, 0, headerBytes, 0) !== headerBytes) throw unusable('no header');
  const header = new DataView(bytes.buffer);
  const word = (at: number) => header.getInt32(at, true);
  const [widthPx, heightPx, bands, format, coding] = [word(4), word(8), word(12), word(20), word(24)];
  if (bytes[0] !== 0xb6 || bytes[1] !== 0xa6 || bytes[2] !== 0xf2 || bytes[3] !== 0x08) {
    throw unusable('unknown first bytes');
  }
  const bytesPerSample = bytesOfFormat[format];
  if (!bytesPerSample || coding !== 0) throw unusable(`sample format ${format}, coding ${coding}`);
  if (widthPx < 1 || heightPx < 1 || bands < 1 || bands > 4) {
    throw unusable(`${widthPx} × ${heightPx} px, ${bands} bands`);
  }
  const needed = headerBytes + widthPx * heightPx * bands * bytesPerSample;
  if (fstatSync(fd).size < needed) throw unusable('shorter than its header says');
  return { fd, widthPx, heightPx, bytesPerSample, bands, offsetBytes: headerBytes };
}

/** Opens a `.v` file that must hold one grey sample a pixel. */
export function openScratch(file: string): Scratch {
  const { bands, ...scratch } = openSamples(file);
  if (bands !== 1) {
    closeSync(scratch.fd);
    throw unusable(`${bands} bands instead of one`);
  }
  return scratch;
}
