import { decodeSrgb } from '../srgb.ts';

/** A scan in grey. Places in it are pixels from its upper left corner; the middle of the first pixel is 0.5, 0.5. */
export interface GreyScan {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Row by row, without gaps. */
  readonly codes: Uint8Array | Uint16Array;
  /**
   * Light of each code, 0 … `FULL_LIGHT`. Whole numbers, as all sums over pixels are: in code that has not been compiled yet,
   * every fraction is a piece of memory of its own, and a scan is read but once.
   */
  readonly light: Uint16Array;
}

/** Light of the brightest code. */
export const FULL_LIGHT = 65535;

/** A place in a scan, in pixels and parts of them. */
export interface PointPx {
  readonly x: number;
  readonly y: number;
}

/** Takes sRGB codes, 8 or 16 bit, as a scan; RangeError when there are too few or too many of them. */
export function greyScan(codes: Uint8Array | Uint16Array, widthPx: number, heightPx: number): GreyScan {
  if (codes.length !== widthPx * heightPx) throw new RangeError('a scan wants one code for each pixel');
  const light = new Uint16Array(codes.BYTES_PER_ELEMENT === 1 ? 256 : 65536);
  for (let code = 0; code < light.length; code++)
    light[code] = Math.round(FULL_LIGHT * decodeSrgb(code / (light.length - 1)));
  return { widthPx, heightPx, codes, light };
}

/** Light at a place, 0 … 1, from the four pixels around it; that of the nearest pixel beyond the edges. */
export function lightAt({ widthPx, heightPx, codes, light }: GreyScan, x: number, y: number): number {
  const u = Math.min(widthPx - 1, Math.max(0, x - 0.5));
  const v = Math.min(heightPx - 1, Math.max(0, y - 0.5));
  const left = Math.floor(u);
  const top = Math.floor(v);
  const right = Math.min(widthPx - 1, left + 1);
  const upper = top * widthPx;
  const lower = Math.min(heightPx - 1, top + 1) * widthPx;
  const along = u - left;
  const down = v - top;
  const above = light[codes[upper + left]!]! * (1 - along) + light[codes[upper + right]!]! * along;
  const below = light[codes[lower + left]!]! * (1 - along) + light[codes[lower + right]!]! * along;
  return (above * (1 - down) + below * down) / FULL_LIGHT;
}
