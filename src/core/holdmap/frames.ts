import type { BoxMm } from '../outlines/contract.ts';
import { encodeSrgb } from '../srgb.ts';
import { MARKS } from './marks.ts';
import type { Frame } from './sheet.ts';

const EDGE_MM = 0.45;
const CASING_MM = 0.3;
/** A large place is hatched along its edge only: its middle is often sound. */
const BAND_MM = 3.5;
const TINT = 0.1;

type Rgb = readonly [red: number, green: number, blue: number];

const COLOURS: readonly Rgb[] = MARKS.map(({ light }) => {
  const code = (channel: number): number => Math.round(255 * encodeSrgb(light[channel]!));
  return [code(0), code(1), code(2)];
});
const WHITE: Rgb = [255, 255, 255];
/** The colour of frames and lettering on a map: red, green, blue, 0 … 255. */
export const BLACK: Rgb = [0, 0, 0];
const OUTLINE: Rgb = [150, 150, 150];
const OUTLINE_MM = 0.2;

/** Lays `share` of a colour over the pixel at `at`. */
export function lay(row: Uint8Array, at: number, colour: Rgb, share: number): void {
  const red = row[at]!;
  const green = row[at + 1]!;
  const blue = row[at + 2]!;
  // nothing is below 0, so this rounds
  row[at] = (red + share * (colour[0] - red) + 0.5) | 0;
  row[at + 1] = (green + share * (colour[1] - green) + 0.5) | 0;
  row[at + 2] = (blue + share * (colour[2] - blue) + 0.5) | 0;
}

/** What each byte of red, green and blue becomes, 256 after 256, where a tint of a colour is laid over it. */
const TINTS = COLOURS.map((colour) => {
  const tints = new Uint8Array(3 * 256);
  const pixel = new Uint8Array(3);
  for (let byte = 0; byte < 256; byte++) {
    pixel.fill(byte);
    lay(pixel, 0, colour, TINT);
    for (let channel = 0; channel < 3; channel++) tints[256 * channel + byte] = pixel[channel]!;
  }
  return tints;
});

function layTint(row: Uint8Array, at: number, tints: Uint8Array): void {
  row[at] = tints[row[at]!]!;
  row[at + 1] = tints[256 + row[at + 1]!]!;
  row[at + 2] = tints[512 + row[at + 2]!]!;
}

/** Share of a pixel that lies deeper than `deepMm`, from how deep its middle lies. */
const deeper = (insideMm: number, deepMm: number, pxPerMm: number): number =>
  Math.min(1, Math.max(0, (insideMm - deepMm) * pxPerMm + 0.5));

/** The pixels of a row that lie in a box or about it, but those between that lie farther inside than a band. */
interface Reach {
  from: number;
  to: number;
  /** The last pixel of those left out; those before it are the ones farther inside than the band. */
  middle: number;
  /** How far below the box's upper edge the row lies, and how far inside its upper and lower one, in mm. */
  v: number;
  insideY: number;
}

/** Of row `y`, the pixels in a box or `aroundMm` about it: false where there are none. */
function reached(
  into: Reach,
  rowPx: number,
  y: number,
  { xMm, yMm, widthMm, heightMm }: BoxMm,
  pxPerMm: number,
  aroundMm: number,
  bandMm: number,
): boolean {
  into.v = (y + 0.5) / pxPerMm - yMm;
  into.insideY = Math.min(into.v, heightMm - into.v);
  if (into.insideY < -aroundMm) return false;
  into.from = Math.max(0, Math.floor((xMm - aroundMm) * pxPerMm));
  into.to = Math.min(rowPx, Math.ceil((xMm + widthMm + aroundMm) * pxPerMm));
  into.middle = into.insideY > bandMm ? Math.floor((xMm + widthMm - bandMm) * pxPerMm) - 1 : 0;
  return true;
}

const reach: Reach = { from: 0, to: 0, middle: 0, v: 0, insideY: 0 };

/** A thin line just around the plate. */
export function paintOutline(row: Uint8Array, y: number, plate: BoxMm, pxPerMm: number, scale: number): void {
  const width = OUTLINE_MM * scale;
  if (!reached(reach, row.length / 3, y, plate, pxPerMm, width, 0)) return;
  const { from, to, middle, insideY } = reach;
  const { xMm, widthMm } = plate;
  for (let x = from; x < to; x++) {
    let u = (x + 0.5) / pxPerMm - xMm;
    if (u > 0 && x < middle) {
      x = middle;
      u = (x + 0.5) / pxPerMm - xMm;
    }
    const inside = Math.min(u, widthMm - u, insideY);
    if (inside < 0) lay(row, x * 3, OUTLINE, deeper(inside, -width, pxPerMm));
  }
}

/** Where in a hatching the pixels of a row lie, and their shares. */
let us = new Float64Array(0);
let shares = new Float64Array(0);

/** A coloured line in a white one around a box, and hatching along its inside. */
export function paintFrame(row: Uint8Array, y: number, frame: Frame, pxPerMm: number, scale: number): void {
  const edge = EDGE_MM * scale;
  const casing = CASING_MM * scale;
  const band = BAND_MM * scale;
  if (!reached(reach, row.length / 3, y, frame, pxPerMm, casing, band)) return;
  const { from, to, middle, v, insideY } = reach;
  const { hatch } = MARKS[frame.mark % MARKS.length]!;
  const colour = COLOURS[frame.mark % COLOURS.length]!;
  const tints = TINTS[frame.mark % TINTS.length]!;
  const pxMm = 1 / (pxPerMm * scale);
  const { xMm, yMm, widthMm } = frame;
  if (us.length < to - from) {
    us = new Float64Array(to - from);
    shares = new Float64Array(to - from);
  }
  let count = 0;
  for (let x = from; x < to; x++, count++) {
    let u = (x + 0.5) / pxPerMm - xMm;
    if (u > band && x < middle) {
      x = middle;
      u = (x + 0.5) / pxPerMm - xMm;
    }
    us[count] = (xMm + u) / scale;
  }
  hatch(us, (yMm + v) / scale, pxMm, count, shares);
  for (let x = from, i = 0; x < to; x++, i++) {
    let u = (x + 0.5) / pxPerMm - xMm;
    if (u > band && x < middle) {
      x = middle;
      u = (x + 0.5) / pxPerMm - xMm;
    }
    const inside = Math.min(u, widthMm - u, insideY);
    if ((inside - edge) * pxPerMm >= 0.5) {
      // all of the pixel lies within the line: only hatching, and mostly the ground of it
      if (inside >= band) continue;
      const share = shares[i]!;
      if (share > TINT) lay(row, x * 3, colour, share);
      else layTint(row, x * 3, tints);
      continue;
    }
    const outer = deeper(inside, 0, pxPerMm);
    const inner = deeper(inside, edge, pxPerMm);
    if (outer < 1) lay(row, x * 3, WHITE, 0.85 * deeper(inside, -casing, pxPerMm) * (1 - outer));
    if (inner > 0 && inside < band) lay(row, x * 3, colour, inner * Math.max(TINT, shares[i]!));
    if (outer > inner) lay(row, x * 3, colour, outer - inner);
  }
}

/** A white label with a coloured edge. */
export function paintTag(row: Uint8Array, y: number, tag: Frame, pxPerMm: number, scale: number): void {
  if (!reached(reach, row.length / 3, y, tag, pxPerMm, 0, Number.POSITIVE_INFINITY)) return;
  const { from, to, insideY } = reach;
  const colour = COLOURS[tag.mark % COLOURS.length]!;
  const { xMm, widthMm } = tag;
  for (let x = from; x < to; x++) {
    const u = (x + 0.5) / pxPerMm - xMm;
    const inside = Math.min(u, widthMm - u, insideY);
    lay(row, x * 3, colour, deeper(inside, 0, pxPerMm));
    lay(row, x * 3, WHITE, deeper(inside, EDGE_MM * scale, pxPerMm));
  }
}
