import { type Bitmap, createBitmap } from '../bitmap.ts';
import { MM_PER_INCH } from '../geometry.ts';
import { drawStrokes } from '../layout/stroke-raster.ts';
import type { Stroke } from '../layout/strokefont.ts';
import { proofPx } from '../proof/ink.ts';
import type { Proof, RgbRows } from '../proof/proof.ts';
import { BLACK, lay, paintFrame, paintOutline, paintTag } from './frames.ts';
import { type Fault, layOut, type MapWords } from './sheet.ts';

/** Lettering is drawn in pixels of a third, so that its edges are soft. */
const FINE = 3;
/** Below this resolution everything but the plate is drawn larger, or nobody could read it. */
const READABLE_PPI = 110;

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
    else text = createBitmap(Math.ceil(widthPx / 8) * 8 * FINE, rows);
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

/** How many bits are set in each number of three. */
const SET = Uint8Array.of(0, 1, 1, 2, 1, 2, 2, 3);

/** Paints row `y` of the lettering, whose rows are whole threes of bytes: eight pixels. */
function paintLettering(row: Uint8Array, y: number, { data, strideBytes }: Bitmap): void {
  const top = y * FINE * strideBytes;
  for (let i = top, at = 0; i < top + strideBytes; i += 3, at += 8 * 3) {
    const upper = (data[i]! << 16) | (data[i + 1]! << 8) | data[i + 2]!;
    const j = i + strideBytes;
    const middle = (data[j]! << 16) | (data[j + 1]! << 8) | data[j + 2]!;
    const k = j + strideBytes;
    const lower = (data[k]! << 16) | (data[k + 1]! << 8) | data[k + 2]!;
    // most are empty
    if ((upper | middle | lower) === 0) continue;
    for (let x = 0, right = 21; x < 8 && at + 3 * x < row.length; x++, right -= FINE) {
      const set = SET[(upper >> right) & 7]! + SET[(middle >> right) & 7]! + SET[(lower >> right) & 7]!;
      if (set > 0) lay(row, at + 3 * x, BLACK, set / FINE ** 2);
    }
  }
}
