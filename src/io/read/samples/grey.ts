import { closeSync, openSync } from 'node:fs';
import { openLuminance } from '../../../core/luminance.ts';
import { writeExactly } from '../../exact.ts';
import type { Scratch } from '../../scratch.ts';
import type { CodeCurve, Decoded } from '../reader.ts';
import { blockRowsOf, sampleBlocks } from './blocks.ts';

const paper = 65535;

/**
 * Makes decoded samples grey in a file of its own: curve, then over paper white, then luminance, in 16 bit, rounded
 * once to the depth of the samples. For what the picture library cannot do exactly: transparency in 16 bit (its
 * paper would be 65,280), tone curves of grey profiles and of PNG files, RGB of 16 bit with a profile.
 */
export async function makeGrey(
  { samples, curve }: Decoded,
  file: string,
  signal?: AbortSignal,
): Promise<Scratch> {
  const { widthPx, heightPx, bytesPerSample, bands } = samples;
  const codes = curve ?? plainCurve(bytesPerSample === 1 ? 256 : 65536);
  const greyOf = greyRun(bands, codes, bytesPerSample === 1 ? 257 : 1);
  const Row = bytesPerSample === 1 ? Uint8Array : Uint16Array;
  const grey = new Row(blockRowsOf(samples) * widthPx);
  const fd = openSync(file, 'wx+');
  try {
    for await (const { samples: block, firstRow, pixels } of sampleBlocks(samples, signal)) {
      greyOf(block, grey, pixels);
      writeExactly(fd, grey.subarray(0, pixels), samples.offsetBytes + firstRow * widthPx * bytesPerSample);
    }
  } catch (error) {
    closeSync(fd);
    throw error;
  }
  return { fd, widthPx, heightPx, bytesPerSample, offsetBytes: samples.offsetBytes };
}

type Run = Uint8Array | Uint16Array;

export const plainCurve = (codes: 256 | 65536): CodeCurve =>
  Uint16Array.from({ length: codes }, (_, code) => (code * paper) / (codes - 1));

/** One plain loop for each number of bands: grey, grey + alpha, RGB, RGB + alpha. */
function greyRun(bands: number, curve: CodeCurve, step: number) {
  const luminance = openLuminance();
  const opaque = paper / step;
  const over = (code: number, alpha: number) => Math.round(paper + ((code - paper) * alpha) / opaque);
  const out = (code: number) => Math.round(code / step);
  return (from: Run, to: Run, pixels: number): void => {
    for (let pixel = 0, at = 0; pixel < pixels; pixel++, at += bands) {
      let first = curve[from[at]!]!;
      if (bands === 1) {
        to[pixel] = out(first);
        continue;
      }
      if (bands === 2) {
        to[pixel] = out(over(first, from[at + 1]!));
        continue;
      }
      let second = curve[from[at + 1]!]!;
      let third = curve[from[at + 2]!]!;
      if (bands === 4) {
        const alpha = from[at + 3]!;
        if (alpha !== opaque) {
          first = over(first, alpha);
          second = over(second, alpha);
          third = over(third, alpha);
        }
      }
      to[pixel] = out(luminance(first, second, third));
    }
  };
}
