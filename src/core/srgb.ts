/** Light 0 … 1 of an sRGB code 0 … 1 (IEC 61966-2-1:1999, 5.2). */
export const decodeSrgb = (code: number): number =>
  code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;

/** sRGB code 0 … 1 of light 0 … 1 (IEC 61966-2-1:1999, 5.3). */
export const encodeSrgb = (light: number): number =>
  light <= 0.0031308 ? light * 12.92 : 1.055 * light ** (1 / 2.4) - 0.055;
