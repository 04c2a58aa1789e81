import type { Finish } from './plate.ts';

/** Etched in full; nothing etched is 0. */
const FULL_ETCH = 255;

/**
 * The one place where a row of ink tone becomes a row of a tone plate: polarity by the process, the border as the
 * process has it, the mirror once and last, as `finishRows` does it for marks.
 *
 * `tone` is the row of the picture (0 = paper … 65535 = solid ink, as wide as the box) that lies in row `y` of the
 * plate; it is not looked at above and below the box. `etch` is one row of the plate, a byte a pixel, 0 = nothing
 * etched … 255 = in full. 16 bits become 8 by rounding, floor(tone · 255 / 65535 + 0.5) (PNG specification, 13.12).
 */
export function etchToneRow(tone: Uint16Array, y: number, finish: Finish, etch: Uint8Array): void {
  const { box, etches, border, mirror } = finish;
  const outside = border === 'etched' ? FULL_ETCH : 0;
  if (y < box.yPx || y >= box.yPx + box.heightPx) {
    etch.fill(outside);
    return;
  }
  const first = box.xPx;
  const turned = etches === 'paper' ? FULL_ETCH : 0;
  etch.fill(outside, 0, first);
  // 257 is odd, so no tone lies half-way between two bytes, and 255 less the rounded ink is the rounded paper
  for (let x = 0; x < box.widthPx; x++) etch[first + x] = (((tone[x]! * 255 + 32767) / 65535) | 0) ^ turned;
  etch.fill(outside, first + box.widthPx);
  if (mirror) etch.reverse();
}

/** Sum of a plate's bytes; over 255 it is the plate's etched pixels, each counted by its tone. */
export function sumOf(etch: Uint8Array): number {
  let sum = 0;
  for (let i = 0; i < etch.length; i++) sum += etch[i]!;
  return sum;
}
