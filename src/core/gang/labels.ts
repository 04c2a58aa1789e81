import { type Bitmap, createBitmap, mirrorRow, placeRow } from '../bitmap.ts';
import { MM_PER_INCH } from '../geometry.ts';
import { drawStrokes } from '../layout/stroke-raster.ts';
import { textStrokes, textWidthMm } from '../layout/strokefont.ts';
import type { BoxPx } from './contract.ts';

/** Heights of capitals that are tried, in mm, and the least that is read without a lens; from memory. */
const CAPS_MM = [3, 2.5, 2, 1.5] as const;
/** Tails hang a third of the capitals' height below the line. */
const TAIL = 1 / 3;

/** What should stand beside a plate: in full, and the least that tells it from all others. */
export interface LabelWish {
  readonly full: string;
  readonly short: string;
  /** Lettering that reads as the plate does: mirrored where it is plate-reading. */
  readonly mirrored: boolean;
}

/** A line of lettering in the waste. */
export interface Label extends BoxPx {
  readonly text: string;
  readonly capMm: number;
  readonly mirrored: boolean;
}

/** Where lettering may stand. */
export interface LabelGround {
  /** Size of the sheet. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
  /** What is kept between lettering and any plate: the cut goes there. */
  readonly clearPx: number;
}

const pxPerMm = ({ dpi }: LabelGround): number => dpi / MM_PER_INCH;

/** A pen of an eighth of the height; under two pixels it leaves rags. */
const penMm = (capMm: number, ground: LabelGround): number => Math.max(capMm / 8, 2 / pxPerMm(ground));

function sizeOf(text: string, capMm: number, ground: LabelGround): Pick<BoxPx, 'widthPx' | 'heightPx'> {
  const pen = penMm(capMm, ground);
  return {
    widthPx: Math.ceil((textWidthMm(text, capMm) + pen) * pxPerMm(ground)),
    heightPx: Math.ceil((capMm * (1 + TAIL) + pen) * pxPerMm(ground)),
  };
}

const apart = (a: BoxPx, b: BoxPx, byPx: number): boolean =>
  a.xPx + a.widthPx + byPx <= b.xPx ||
  b.xPx + b.widthPx + byPx <= a.xPx ||
  a.yPx + a.heightPx + byPx <= b.yPx ||
  b.yPx + b.heightPx + byPx <= a.yPx;

/** Below the plate, else above it; null where neither is free. */
function place(
  plate: BoxPx,
  text: string,
  capMm: number,
  ground: LabelGround,
  plates: readonly BoxPx[],
  others: readonly BoxPx[],
): BoxPx | null {
  const size = sizeOf(text, capMm, ground);
  if (size.widthPx > plate.widthPx) return null;
  const { clearPx } = ground;
  const below = plate.yPx + plate.heightPx + clearPx;
  const above = plate.yPx - clearPx - size.heightPx;
  for (const yPx of [below, above]) {
    const box = { xPx: plate.xPx, yPx, ...size };
    if (yPx < 0 || yPx + size.heightPx > ground.heightPx) continue;
    if (plates.every((other) => apart(box, other, clearPx)) && others.every((other) => apart(box, other, 1)))
      return box;
  }
  return null;
}

/** Lettering of one height beside every plate that has room for it. */
function labelsAt(
  capMm: number,
  plates: readonly BoxPx[],
  wishes: readonly LabelWish[],
  ground: LabelGround,
): (Label | null)[] {
  const taken: BoxPx[] = [];
  return plates.map((plate, index) => {
    const { full, short, mirrored } = wishes[index]!;
    for (const text of [full, short]) {
      const box = place(plate, text, capMm, ground, plates, taken);
      if (!box) continue;
      taken.push(box);
      return { ...box, text, capMm, mirrored };
    }
    return null;
  });
}

/**
 * Lettering for the waste below each plate, or above it, all of one height: the largest at which the most plates have
 * theirs, in full if they can. Null for a plate without room.
 */
export function placeLabels(
  plates: readonly BoxPx[],
  wishes: readonly LabelWish[],
  ground: LabelGround,
): (Label | null)[] {
  const worth = (labels: readonly (Label | null)[]): number =>
    labels.reduce(
      (sum, label, index) => sum + (label === null ? 0 : label.text === wishes[index]!.full ? 1.001 : 1),
      0,
    );
  let best: (Label | null)[] = plates.map(() => null);
  for (const capMm of CAPS_MM) {
    const labels = labelsAt(capMm, plates, wishes, ground);
    if (worth(labels) > worth(best)) best = labels;
  }
  return best;
}

/** Draws lettering into the etched bits of a sheet; what lies under its box is replaced. */
export function drawLabel(sheet: Bitmap, label: Label, ground: LabelGround): void {
  const { text, capMm, mirrored, xPx, yPx, widthPx, heightPx } = label;
  const pen = penMm(capMm, ground);
  const drawn = createBitmap(widthPx, heightPx);
  const strokes = textStrokes(text, { heightMm: capMm, xMm: pen / 2, yMm: pen / 2 + capMm });
  drawStrokes(drawn, strokes, { pxPerMm: pxPerMm(ground), penMm: pen });
  for (let y = 0; y < heightPx; y++) {
    const at = y * drawn.strideBytes;
    if (mirrored) mirrorRow(drawn.data, at, widthPx);
    placeRow(drawn.data, at, widthPx, sheet.data, (yPx + y) * sheet.strideBytes, xPx);
  }
}
