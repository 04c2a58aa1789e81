import { setImmediate as nextTurn } from 'node:timers/promises';
import { readExactly } from '../../exact.ts';
import type { Scratch } from '../../scratch.ts';
import type { PictureCaution, PictureFacts } from '../facts.ts';

/** The darkest and lightest codes of a picture, in 8 bit, leaving out the outermost thousandth at either end. */
export interface UsedRange {
  readonly darkest: number;
  readonly lightest: number;
}

const blockSamples = 1 << 20;
// A few specks of dust do not make a range.
const strayShare = 0.001;

/**
 * Counts the samples of a scratch until the range is `enough` codes wide: it can only widen, and nothing is said of a
 * wide one. Most pictures are seen through after their first rows.
 */
export async function usedRange(scratch: Scratch, enough: number, signal?: AbortSignal): Promise<UsedRange> {
  const samples = scratch.widthPx * scratch.heightPx;
  const strays = samples * strayShare;
  const shift = scratch.bytesPerSample === 2 ? 8 : 0;
  const block = new (shift === 0 ? Uint8Array : Uint16Array)(Math.min(samples, blockSamples));
  const counts = new Float64Array(256);
  for (let at = 0; at < samples; at += block.length) {
    const part = block.subarray(0, Math.min(block.length, samples - at));
    readExactly(scratch.fd, part, scratch.offsetBytes + at * scratch.bytesPerSample);
    for (let index = 0; index < part.length; index++) counts[part[index]! >> shift]! += 1;
    const seen = at + part.length;
    if (seen > strays) {
      const range = rangeOf(counts, strays);
      if (range.lightest - range.darkest >= enough) return range;
    }
    await nextTurn(undefined, { ...(signal && { signal }) });
  }
  return rangeOf(counts, strays);
}

/** The range of what was counted so far, which must be more than the strays of the whole picture. */
const rangeOf = (counts: Float64Array, strays: number): UsedRange => ({
  darkest: firstBeyond(counts, strays, 1),
  lightest: firstBeyond(counts, strays, -1),
});

/** The first code, counted from the dark (1) or light (−1) end, with more than the stray share up to it. */
function firstBeyond(counts: Float64Array, strays: number, direction: 1 | -1): number {
  let code = direction === 1 ? 0 : 255;
  for (let seen = counts[code]!; seen <= strays; seen += counts[code]!) code += direction;
  return code;
}

/** Half of what the picture could use, in codes of 8 bit. */
export const enoughRange = ({ whiteCode, blackCode, depthBits }: PictureFacts): number =>
  (whiteCode - blackCode) / (depthBits === 16 ? 257 : 1) / 2;

/** Tells of a picture that is one flat tone or uses less than half of its range. */
export function rangeCautions(range: UsedRange, facts: PictureFacts): PictureCaution[] {
  const { darkest, lightest } = range;
  if (darkest === lightest) {
    return [
      {
        code: 'picture-flat',
        severity: 'warn',
        text: `The picture is one flat tone, grey ${darkest} of 255.`,
        cure: 'Check that it is the right file and that its layers are shown.',
        value: darkest,
      },
    ];
  }
  if (lightest - darkest >= enoughRange(facts)) return [];
  return [
    {
      code: 'picture-little-range',
      severity: 'warn',
      text: `The picture uses little of its range: greys ${darkest} to ${lightest} of 255.`,
      cure: 'Set --blackpoint and --whitepoint, or stretch its levels first.',
      value: lightest - darkest,
    },
  ];
}
