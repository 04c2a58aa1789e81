import { decodeSrgb } from '../srgb.ts';
import type { PlaneSize } from './box.ts';
import { codeOfLight, LIGHT_STEPS } from './codes.ts';

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

/** Light of an sRGB byte, in steps of 1/65535; signed, since the engine adds unsigned ones as fractions. */
const LIGHT = Int32Array.from({ length: 256 }, (_, code) => Math.round(LIGHT_STEPS * decodeSrgb(code / 255)));

/**
 * Sums rows of red, green and blue bytes, the first of them row `fromRow` of its picture, over squares of `by` × `by`
 * pixels, at most 256 a side. Bands of a picture may cut squares: sums add up. `lead` bytes in front of each row are
 * left out.
 */
export function sumLight(
  rows: Uint8Array,
  widthPx: number,
  fromRow: number,
  by: number,
  lead = 0,
): LightSums {
  const rowBytes = lead + widthPx * 3;
  const count = rows.length / rowBytes;
  const squares = Math.ceil(widthPx / by);
  const firstRow = Math.floor(fromRow / by);
  const lastRow = Math.floor((fromRow + count - 1) / by);
  const sums = new Uint32Array((lastRow - firstRow + 1) * squares * 3);
  for (let y = 0; y < count; y++) {
    const to = (Math.floor((fromRow + y) / by) - firstRow) * squares * 3;
    sumRow(rows, y * rowBytes + lead, (y + 1) * rowBytes, by * 3, sums, to);
  }
  return { firstRow, sums };
}

function sumRow(
  rows: Uint8Array,
  from: number,
  end: number,
  stepBytes: number,
  sums: Uint32Array,
  to: number,
): void {
  let into = to;
  for (let at = from; at < end; into += 3) {
    const next = at + stepBytes < end ? at + stepBytes : end;
    let red = 0;
    let green = 0;
    let blue = 0;
    for (; at < next; at += 3) {
      red += LIGHT[rows[at]!]!;
      green += LIGHT[rows[at + 1]!]!;
      blue += LIGHT[rows[at + 2]!]!;
    }
    sums[into] = sums[into]! + red;
    sums[into + 1] = sums[into + 1]! + green;
    sums[into + 2] = sums[into + 2]! + blue;
  }
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

/** A grey picture, reduced in linear light by whole pixels: sRGB bytes, 0 = black. `read` writes row `y` of codes 0…`most`. */
export function shrunkGrey(
  read: (y: number, codes: Uint8Array | Uint16Array) => void,
  codes: Uint8Array | Uint16Array,
  { widthPx, heightPx }: PlaneSize,
  most: number,
  by: number,
): { readonly greys: Uint8Array } & PlaneSize {
  const light =
    most === 255
      ? LIGHT
      : Int32Array.from({ length: most + 1 }, (_, code) => Math.round(LIGHT_STEPS * decodeSrgb(code / most)));
  const small = { widthPx: Math.ceil(widthPx / by), heightPx: Math.ceil(heightPx / by) };
  const greys = new Uint8Array(small.widthPx * small.heightPx);
  // a long strip is reduced by more than the 256 pixels whose light 32 bits hold
  const sums = new Float64Array(small.widthPx);
  for (let y = 0; y < small.heightPx; y++) {
    sums.fill(0);
    const end = Math.min(heightPx, (y + 1) * by);
    for (let row = y * by; row < end; row++) {
      read(row, codes);
      addRow(codes, light, by, sums);
    }
    for (let x = 0; x < sums.length; x++) {
      const pixels = (end - y * by) * Math.min(by, widthPx - x * by);
      greys[y * sums.length + x] = codeOfLight(sums[x]! / pixels);
    }
  }
  return { greys, ...small };
}

function addRow(codes: Uint8Array | Uint16Array, light: Int32Array, by: number, sums: Float64Array): void {
  for (let into = 0, at = 0; into < sums.length; into++) {
    const next = at + by < codes.length ? at + by : codes.length;
    let sum = 0;
    for (; at < next; at++) sum += light[codes[at]!]!;
    sums[into] = sums[into]! + sum;
  }
}
