import { decodeSrgb } from '../srgb.ts';
import { openWasm } from '../wasm/open.ts';
import { LIGHT_STEPS } from './codes.ts';
import { kernels } from './square-kernels.ts';

/** How pixels lie in a row. */
type Layout = keyof typeof kernels;

const LAYOUTS: Record<Layout, { readonly bytes: 1 | 2; readonly channels: 1 | 3; readonly most: number }> = {
  grey8: { bytes: 1, channels: 1, most: 255 },
  grey16: { bytes: 2, channels: 1, most: 65_535 },
  rgb8: { bytes: 1, channels: 3, most: 255 },
};

/** Pixels in a square whose light 32 bits hold. */
export const MOST_PIXELS = 65_536;

/** Light of rows, summed over the squares of a smaller picture. */
interface SquareSums {
  /** A row of sRGB codes, to be filled before it is added: bytes, or words where codes have 16 bits. */
  readonly codes: Uint8Array | Uint16Array;
  /** Light of each square and channel, in steps of 1/65535. */
  readonly sums: Uint32Array;
  /** Adds the row to the sums: at most so many pixels in a square as 32 bits hold, then they must be cleared. */
  add(): void;
}

/** Rows of `widthPx` pixels, by `by` pixels a square. `plain` does without WebAssembly: the same sums. */
export function openSquares(widthPx: number, by: number, layout: Layout, plain = false): SquareSums {
  const { bytes, channels, most } = LAYOUTS[layout];
  const codesAt = 4 * (most + 1);
  const count = widthPx * channels;
  const sumsAt = codesAt + ((count * bytes + 3) & ~3);
  const squares = Math.ceil(widthPx / by) * channels;
  const room = sumsAt + 4 * squares;
  const opened = plain ? null : openWasm(kernels, room);
  const buffer = opened?.buffer ?? new ArrayBuffer(room);
  const light = new Int32Array(buffer, 0, most + 1);
  for (let code = 0; code <= most; code++) light[code] = Math.round(LIGHT_STEPS * decodeSrgb(code / most));
  const codes =
    bytes === 1 ? new Uint8Array(buffer, codesAt, count) : new Uint16Array(buffer, codesAt, count);
  const sums = new Uint32Array(buffer, sumsAt, squares);
  const run = opened?.run[layout];
  const step = by * channels;
  const add = run
    ? () => run(codesAt, codesAt + count * bytes, step * bytes, sumsAt)
    : () => addPlainly(codes, light, step, channels, sums);
  return { codes, sums, add };
}

/** The same as the kernels. */
function addPlainly(
  codes: Uint8Array | Uint16Array,
  light: Int32Array,
  step: number,
  channels: number,
  sums: Uint32Array,
): void {
  for (let from = 0, into = 0; from < codes.length; from += step, into += channels) {
    const end = Math.min(from + step, codes.length);
    for (let channel = 0; channel < channels; channel++) {
      let sum = 0;
      for (let at = from + channel; at < end; at += channels) sum += light[codes[at]!]!;
      sums[into + channel] = sums[into + channel]! + sum;
    }
  }
}
