import { decodeSrgb, encodeSrgb } from './srgb.ts';

const TOP = 65535;
const STEPS = 1 << 14;

// ITU-R BT.709-6, item 3.2.
const RED_SHARE = 0.2126;
const GREEN_SHARE = 0.7152;
const BLUE_SHARE = 0.0722;

/**
 * Grey of an sRGB colour: its luminance in linear light, coded again as sRGB. All codes 0 … 65,535.
 * A neutral colour keeps its code exactly. Opening costs two tables, 650 kB.
 */
export function openLuminance(): (red: number, green: number, blue: number) => number {
  const light = Float64Array.from({ length: TOP + 1 }, (_, code) => decodeSrgb(code / TOP));
  // Straight lines between the steps: at most 0.1 of a code off, at the foot of the curve.
  const codes = Float64Array.from(
    { length: STEPS + 2 },
    (_, step) => TOP * encodeSrgb(Math.min(1, step / STEPS)),
  );
  return (red, green, blue) => {
    if (red === green && green === blue) return red;
    const place = (RED_SHARE * light[red]! + GREEN_SHARE * light[green]! + BLUE_SHARE * light[blue]!) * STEPS;
    const below = Math.floor(place);
    return Math.round(codes[below]! + (place - below) * (codes[below + 1]! - codes[below]!));
  };
}
