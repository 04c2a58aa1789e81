import { type Bitmap, createBitmap, getBit } from '../bitmap.ts';
import { MM_PER_INCH } from '../geometry.ts';
import { drawStrokes } from '../layout/stroke-raster.ts';
import type { Stroke } from '../layout/strokefont.ts';
import type { BoxMm } from '../outlines/contract.ts';
import { proofPx } from '../proof/ink.ts';
import type { Proof, RgbRows } from '../proof/proof.ts';
import { encodeSrgb } from '../srgb.ts';
import { MARKS } from './marks.ts';
import { type Fault, type Frame, layOut, type MapWords } from './sheet.ts';

/** Lettering is drawn in pixels of a third, so that its edges are soft. */
const FINE = 3;
/** Below this resolution everything but the plate is drawn larger, or nobody could read it. */
const READABLE_PPI = 110;

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
const BLACK: Rgb = [0, 0, 0];
const OUTLINE: Rgb = [150, 150, 150];
const OUTLINE_MM = 0.2;

/** Lays `share` of a colour over the pixel at `at`. */
function lay(row: Uint8Array, at: number, colour: Rgb, share: number): void {
  const red = row[at]!;
  const green = row[at + 1]!;
  const blue = row[at + 2]!;
  // nothing is below 0, so this rounds
  row[at] = (red + share * (colour[0] - red) + 0.5) | 0;
  row[at + 1] = (green + share * (colour[1] - green) + 0.5) | 0;
  row[at + 2] = (blue + share * (colour[2] - blue) + 0.5) | 0;
}

/**
 * The map of what will not hold: faults drawn over a light print of the plate, each kind with its colour, hatching
 * and letter, the worst places numbered in the order given, and a legend in words below. Faults found without a
 * place stand in the legend alone. A map that is shown small has no words, and its marks are drawn `enlarged` so many
 * times; null for a map in its own size. `says`: the words over the legend, where it is not about holding.
 */
export function openHoldMap(
  ground: Proof,
  faults: readonly Fault[],
  enlarged: number | null,
  says?: MapWords,
): RgbRows {
  const { ppi, marginPx } = ground;
  const pxPerMm = ppi / MM_PER_INCH;
  const plateWidthPx = ground.widthPx - 2 * marginPx;
  const plateHeightPx = ground.heightPx - 2 * marginPx;
  const scale = Math.max(enlarged ?? 1, READABLE_PPI / ppi);
  const plateMm = { widthMm: plateWidthPx / pxPerMm, heightMm: plateHeightPx / pxPerMm };
  const sheet = layOut(plateMm, faults, scale, enlarged === null, says);
  const widthPx = proofPx(sheet.widthMm, ppi);
  const heightPx = proofPx(sheet.heightMm, ppi);
  const leftPx = Math.round(sheet.plate.xMm * pxPerMm);
  const topPx = Math.round(sheet.plate.yMm * pxPerMm);
  const heights = sheet.lettering.map((stroke) => heightOf(stroke, sheet.penMm));
  let text = createBitmap(0, 0);
  /** The lettering of some rows, good until the next are asked for; the whole of it would be as large as the plate. Null where there is none. */
  const lettered = (fromRow: number, toRow: number): Bitmap | null => {
    const strokes = sheet.lettering.filter((_, i) => {
      const { topMm, bottomMm } = heights[i]!;
      return bottomMm * pxPerMm >= fromRow - 1 && topMm * pxPerMm <= toRow + 1;
    });
    if (strokes.length === 0) return null;
    const rows = (toRow - fromRow) * FINE;
    if (text.heightPx === rows) text.data.fill(0);
    else text = createBitmap(widthPx * FINE, rows);
    drawStrokes(text, strokes, { pxPerMm: pxPerMm * FINE, penMm: sheet.penMm, fromRow: fromRow * FINE });
    return text;
  };

  const printed = new Uint8Array(ground.widthPx * 3);
  const onPlate = printed.subarray(marginPx * 3, (marginPx + plateWidthPx) * 3);
  const rowOf = (y: number, row: Uint8Array): void => {
    row.fill(255);
    const inPlate = y - topPx;
    if (inPlate >= 0 && inPlate < plateHeightPx) {
      ground.write(inPlate + marginPx, inPlate + marginPx + 1, printed, 0, 0);
      row.set(onPlate, leftPx * 3);
    }
    paintOutline(row, y, sheet.plate, pxPerMm, scale);
    for (const frame of sheet.frames) paintFrame(row, y, frame, pxPerMm, scale);
    for (const tag of sheet.tags) paintTag(row, y, tag, pxPerMm, scale);
  };
  const write: RgbRows['write'] = (fromRow, toRow, into, at, strideBytes) => {
    const lettering = lettered(fromRow, toRow);
    for (let y = 0, to = at; y < toRow - fromRow; y++, to += strideBytes) {
      const row = into.subarray(to, to + widthPx * 3);
      rowOf(fromRow + y, row);
      if (lettering) paintLettering(row, y, lettering);
    }
  };
  return { widthPx, heightPx, ppi, write };
}

/** From where to where a line reaches down the sheet, with the width of its pen. */
function heightOf(stroke: Stroke, penMm: number): { readonly topMm: number; readonly bottomMm: number } {
  const all = stroke.map(({ yMm }) => yMm);
  return { topMm: Math.min(...all) - penMm, bottomMm: Math.max(...all) + penMm };
}

/** Paints row `y` of the lettering. */
function paintLettering(row: Uint8Array, y: number, text: Bitmap): void {
  const { data, strideBytes } = text;
  const top = y * FINE * strideBytes;
  // most bytes are empty, and so are the pixels that they reach into
  for (let i = 0, painted = 0; i < strideBytes; i++) {
    let any = 0;
    for (let v = 0; v < FINE; v++) any |= data[top + v * strideBytes + i]!;
    if (any === 0) continue;
    const end = Math.min(row.length / 3, Math.floor((8 * i + 7) / FINE) + 1);
    for (let x = Math.max(painted, Math.floor((8 * i) / FINE)); x < end; x++) {
      let set = 0;
      for (let v = 0; v < FINE; v++)
        for (let u = 0; u < FINE; u++) set += getBit(text, x * FINE + u, y * FINE + v);
      if (set > 0) lay(row, x * 3, BLACK, set / FINE ** 2);
    }
    painted = end;
  }
}

/**
 * Calls `paint` with every pixel of row `y` that lies in the box or `aroundMm` about it, but none that lies farther
 * inside than `deepMm`: how far inside, in mm.
 */
function eachPixel(
  row: Uint8Array,
  y: number,
  { xMm, yMm, widthMm, heightMm }: BoxMm,
  pxPerMm: number,
  aroundMm: number,
  deepMm: number,
  paint: (at: number, xMm: number, yMm: number, insideMm: number) => void,
): void {
  const v = (y + 0.5) / pxPerMm - yMm;
  const insideY = Math.min(v, heightMm - v);
  if (insideY < -aroundMm) return;
  const from = Math.max(0, Math.floor((xMm - aroundMm) * pxPerMm));
  const to = Math.min(row.length / 3, Math.ceil((xMm + widthMm + aroundMm) * pxPerMm));
  const middle = insideY > deepMm ? Math.floor((xMm + widthMm - deepMm) * pxPerMm) - 1 : 0;
  for (let x = from; x < to; x++) {
    let u = (x + 0.5) / pxPerMm - xMm;
    if (u > deepMm && x < middle) {
      x = middle;
      u = (x + 0.5) / pxPerMm - xMm;
    }
    paint(x * 3, u, v, Math.min(u, widthMm - u, insideY));
  }
}

/** Share of a pixel that lies deeper than `deepMm`, from how deep its middle lies. */
const deeper = (insideMm: number, deepMm: number, pxPerMm: number): number =>
  Math.min(1, Math.max(0, (insideMm - deepMm) * pxPerMm + 0.5));

/** A thin line just around the plate. */
function paintOutline(row: Uint8Array, y: number, plate: BoxMm, pxPerMm: number, scale: number): void {
  const width = OUTLINE_MM * scale;
  eachPixel(row, y, plate, pxPerMm, width, 0, (at, _u, _v, inside) => {
    if (inside < 0) lay(row, at, OUTLINE, deeper(inside, -width, pxPerMm));
  });
}

function paintFrame(row: Uint8Array, y: number, frame: Frame, pxPerMm: number, scale: number): void {
  const { hatch } = MARKS[frame.mark % MARKS.length]!;
  const colour = COLOURS[frame.mark % COLOURS.length]!;
  const [edge, casing, band] = [EDGE_MM * scale, CASING_MM * scale, BAND_MM * scale];
  const pxMm = 1 / (pxPerMm * scale);
  eachPixel(row, y, frame, pxPerMm, casing, band, (at, u, v, inside) => {
    const outer = deeper(inside, 0, pxPerMm);
    const inner = deeper(inside, edge, pxPerMm);
    if (outer < 1) lay(row, at, WHITE, 0.85 * deeper(inside, -casing, pxPerMm) * (1 - outer));
    if (inner > 0 && inside < band)
      lay(
        row,
        at,
        colour,
        inner * Math.max(TINT, hatch((frame.xMm + u) / scale, (frame.yMm + v) / scale, pxMm)),
      );
    if (outer > inner) lay(row, at, colour, outer - inner);
  });
}

function paintTag(row: Uint8Array, y: number, tag: Frame, pxPerMm: number, scale: number): void {
  const colour = COLOURS[tag.mark % COLOURS.length]!;
  eachPixel(row, y, tag, pxPerMm, 0, Number.POSITIVE_INFINITY, (at, _u, _v, inside) => {
    lay(row, at, colour, deeper(inside, 0, pxPerMm));
    lay(row, at, WHITE, deeper(inside, EDGE_MM * scale, pxPerMm));
  });
}
