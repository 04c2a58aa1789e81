import { closeSync, openSync } from 'node:fs';
import { writeExactly } from '../../exact.ts';
import type { Scratch } from '../../scratch.ts';
import type { Decoded } from '../reader.ts';
import { blockRowsOf, sampleBlocks } from './blocks.ts';
import { plainCurve } from './grey.ts';

const paper = 65535;

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
  const plane = new Uint8Array(blockRowsOf(samples) * widthPx);
  const planeBytes = widthPx * heightPx;
  const fd = openSync(file, 'wx+');
  try {
    for await (const { samples: block, firstRow, pixels } of sampleBlocks(samples, signal)) {
      for (let colour = 0; colour < colours; colour++) {
        for (let pixel = 0, at = colour; pixel < pixels; pixel++, at += bands) {
          const code = codes[block[at]!]!;
          const alpha = hasAlpha ? block[at - colour + colours]! : opaque;
          const over = alpha === opaque ? code : paper + ((code - paper) * alpha) / opaque;
          plane[pixel] = Math.round(over / 257);
        }
        writeExactly(fd, plane.subarray(0, pixels), colour * planeBytes + firstRow * widthPx);
      }
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
