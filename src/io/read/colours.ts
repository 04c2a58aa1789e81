import { closeSync, openSync } from 'node:fs';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { readExactly, writeExactly } from '../exact.ts';
import type { Scratch } from '../scratch.ts';
import { plainCurve } from './grey.ts';
import type { Decoded } from './reader.ts';

const paper = 65535;
const blockBytes = 1 << 20;

type Planes = readonly [Scratch, Scratch, Scratch];

/**
 * Parts decoded samples into red, green and blue, one behind the other in a file of their own: curve, then over paper
 * white in 16 bit, rounded once to 8. Of a grey picture all three are the same and lie in the same place.
 */
export async function makePlanes(
  { samples, curve }: Decoded,
  file: string,
  signal?: AbortSignal,
): Promise<Planes> {
  const { widthPx, heightPx, bytesPerSample, bands } = samples;
  const codes = curve ?? plainCurve(bytesPerSample === 1 ? 256 : 65536);
  const opaque = bytesPerSample === 1 ? 255 : 65535;
  const colours = bands < 3 ? 1 : 3;
  const hasAlpha = bands % 2 === 0;
  const blockRows = Math.max(1, Math.floor(blockBytes / (widthPx * bands * bytesPerSample)));
  const block = new (bytesPerSample === 1 ? Uint8Array : Uint16Array)(blockRows * widthPx * bands);
  const plane = new Uint8Array(blockRows * widthPx);
  const planeBytes = widthPx * heightPx;
  const fd = openSync(file, 'wx+');
  try {
    for (let y = 0; y < heightPx; y += blockRows) {
      const pixels = Math.min(blockRows, heightPx - y) * widthPx;
      const from = samples.offsetBytes + y * widthPx * bands * bytesPerSample;
      readExactly(samples.fd, block.subarray(0, pixels * bands), from);
      for (let colour = 0; colour < colours; colour++) {
        for (let pixel = 0, at = colour; pixel < pixels; pixel++, at += bands) {
          const code = codes[block[at]!]!;
          const alpha = hasAlpha ? block[at - colour + colours]! : opaque;
          const over = alpha === opaque ? code : paper + ((code - paper) * alpha) / opaque;
          plane[pixel] = Math.round(over / 257);
        }
        writeExactly(fd, plane.subarray(0, pixels), colour * planeBytes + y * widthPx);
      }
      await nextTurn(undefined, { ...(signal && { signal }) });
    }
  } catch (error) {
    closeSync(fd);
    throw error;
  }
  const planeAt = (colour: number): Scratch => ({
    fd,
    widthPx,
    heightPx,
    bytesPerSample: 1,
    offsetBytes: Math.min(colour, colours - 1) * planeBytes,
  });
  return [planeAt(0), planeAt(1), planeAt(2)];
}
