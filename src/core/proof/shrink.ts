import type { PlaneSize } from './box.ts';
import { codeOfLight } from './codes.ts';
import { MOST_PIXELS, openSquares } from './squares.ts';

/** Light of some rows of a picture, summed over the squares of a smaller one. */
export interface LightSums {
  /** The smaller picture's row that the sums begin with. */
  readonly firstRow: number;
  /** Red, green and blue of each square, in steps of 1/65535. */
  readonly sums: Uint32Array;
}

/** A smaller picture: red, green and blue, a byte each, sRGB. */
export interface SmallPicture extends PlaneSize {
  readonly rgb: Uint8Array;
}

/**
 * Opens what sums rows of red, green and blue bytes, the first of them row `fromRow` of its picture, over squares of `by` × `by`
 * pixels, at most 256 a side. Bands of a picture may cut squares: sums add up. `lead` bytes in front of each row are
 * left out.
 */
export function openLightSums(
  widthPx: number,
  by: number,
  lead = 0,
): (rows: Uint8Array, fromRow: number) => LightSums {
  const rowBytes = lead + widthPx * 3;
  const { codes, sums, add } = openSquares(widthPx, by, 'rgb8');
  return (rows, fromRow) => {
    const end = fromRow + rows.length / rowBytes;
    const firstRow = Math.floor(fromRow / by);
    const all = new Uint32Array((Math.ceil(end / by) - firstRow) * sums.length);
    for (let y = fromRow, at = lead, row = firstRow; y < end; row++) {
      sums.fill(0);
      for (const next = Math.min(end, (row + 1) * by); y < next; y++, at += rowBytes) {
        codes.set(rows.subarray(at, at + codes.length));
        add();
      }
      all.set(sums, (row - firstRow) * sums.length);
    }
    return { firstRow, sums: all };
  };
}

/**
 * Puts a smaller picture together; squares cut by the edges are the mean of what is there. Rows below its last one are
 * left out.
 */
export function openShrunk({ widthPx, heightPx }: PlaneSize, by: number) {
  const small = { widthPx: Math.ceil(widthPx / by), heightPx: Math.ceil(heightPx / by) };
  const all = new Uint32Array(small.widthPx * small.heightPx * 3);
  return {
    add({ firstRow, sums }: LightSums): void {
      const at = firstRow * small.widthPx * 3;
      const count = Math.min(sums.length, all.length - at);
      for (let i = 0; i < count; i++) all[at + i] = all[at + i]! + sums[i]!;
    },
    picture(): SmallPicture {
      const rgb = new Uint8Array(all.length);
      let at = 0;
      for (let y = 0; y < small.heightPx; y++) {
        const high = Math.min(by, heightPx - y * by);
        for (let x = 0; x < small.widthPx; x++) {
          const pixels = high * Math.min(by, widthPx - x * by);
          for (const end = at + 3; at < end; at++) rgb[at] = codeOfLight(all[at]! / pixels);
        }
      }
      return { ...small, rgb };
    },
  };
}

/**
 * A grey picture, reduced in linear light by whole pixels: sRGB bytes, 0 = black. `read` writes row `y` of codes, as
 * bytes or, where they are 16 bits, as words.
 */
export function shrunkGrey(
  read: (y: number, codes: Uint8Array | Uint16Array) => void,
  { widthPx, heightPx }: PlaneSize,
  bytesPerSample: 1 | 2,
  by: number,
): { readonly greys: Uint8Array } & PlaneSize {
  const small = { widthPx: Math.ceil(widthPx / by), heightPx: Math.ceil(heightPx / by) };
  const greys = new Uint8Array(small.widthPx * small.heightPx);
  const { codes, sums, add } = openSquares(widthPx, by, bytesPerSample === 1 ? 'grey8' : 'grey16');
  // a long strip is reduced by more than the 256 pixels a side whose light 32 bits hold
  const atOnce = Math.max(1, Math.floor(MOST_PIXELS / by));
  const all = new Float64Array(small.widthPx);
  for (let y = 0; y < small.heightPx; y++) {
    const from = y * by;
    const end = Math.min(heightPx, from + by);
    all.fill(0);
    for (let row = from; row < end; ) {
      sums.fill(0);
      for (const next = Math.min(end, row + atOnce); row < next; row++) {
        read(row, codes);
        add();
      }
      for (let x = 0; x < all.length; x++) all[x] = all[x]! + sums[x]!;
    }
    for (let x = 0; x < all.length; x++) {
      const pixels = (end - from) * Math.min(by, widthPx - x * by);
      greys[y * all.length + x] = codeOfLight(all[x]! / pixels);
    }
  }
  return { greys, ...small };
}
