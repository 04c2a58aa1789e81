import { decodeSrgb, encodeSrgb } from './srgb.ts';

const top = 65535;
const steps = 1 << 14;

// ITU-R BT.709-6, item 3.2.
const redShare = 0.2126;
const greenShare = 0.7152;
const blueShare = 0.0722;

/**
 * Grey of an sRGB colour: its luminance in linear light, coded again as sRGB. All codes 0 … 65,535.
 * A neutral colour keeps its code exactly. Opening costs two tables, 650 kB.
 */
export function openLuminance(): (red: number, green: number, blue: number) => number {
  const light = Float64Array.from({ length: top + 1 }, (_, code) => decodeSrgb(code / top));
  // Straight lines between the steps: at most 0.1 of a code off, at the foot of the curve.
  const codes = Float64Array.from(
    { length: steps + 2 },
    (_, step) => top * encodeSrgb(Math.min(1, step / steps)),
  );
  return (red, green, blue) => {
    if (red === green && green === blue) return red;
    const place = (redShare * light[red]! + greenShare * light[green]! + blueShare * light[blue]!) * steps;
    const below = Math.floor(place);
    return Math.round(codes[below]! + (place - below) * (codes[below + 1]! - codes[below]!));
  };
}
