import { type Bitmap, fillRow } from '../bitmap.ts';
import type { BoxMm } from './layout.ts';

/** First pixel whose centre is at or beyond a place; a place on a pixel's centre is its own but for the last digits. */
const firstPx = (mm: number, pxPerMm: number): number => Math.ceil(mm * pxPerMm - 0.5 - 1e-6);

/** A box in whole pixels: those whose centres lie in it. */
export interface BoxPx {
  readonly fromX: number;
  readonly toX: number;
  readonly fromY: number;
  readonly toY: number;
}

/** The pixels whose centres lie in a box. */
export const boxPx = ({ xMm, yMm, widthMm, heightMm }: BoxMm, pxPerMm: number): BoxPx => ({
  fromX: firstPx(xMm, pxPerMm),
  toX: firstPx(xMm + widthMm, pxPerMm),
  fromY: firstPx(yMm, pxPerMm),
  toY: firstPx(yMm + heightMm, pxPerMm),
});

/** A brush for one bitmap: every shape takes the pixels whose centres it holds; what lies outside is cut off. */
export interface Brush {
  readonly bitmap: Bitmap;
  readonly pxPerMm: number;
}

/** Fills, row by row, what `spanAt` gives for the height of a row's centre (mm): from and to along x, mm. */
function fillSpans(
  { bitmap, pxPerMm }: Brush,
  box: BoxMm,
  bit: 0 | 1,
  spanAt: (yMm: number) => readonly [number, number] | null,
): void {
  const { fromY, toY } = boxPx(box, pxPerMm);
  for (let y = Math.max(0, fromY); y < Math.min(bitmap.heightPx, toY); y++) {
    const span = spanAt((y + 0.5) / pxPerMm);
    if (!span) continue;
    const from = Math.max(0, firstPx(span[0], pxPerMm));
    const to = Math.min(bitmap.widthPx, firstPx(span[1], pxPerMm));
    fillRow(bitmap.data, y * bitmap.strideBytes, from, to, bit);
  }
}

/** Fills an upright box. */
export const fillBox = (brush: Brush, box: BoxMm, bit: 0 | 1): void =>
  fillSpans(brush, box, bit, () => [box.xMm, box.xMm + box.widthMm]);

/** Fills a disc around a place. */
export function fillDisc(brush: Brush, xMm: number, yMm: number, diameterMm: number, bit: 0 | 1): void {
  const r = diameterMm / 2;
  const box = { xMm: xMm - r, yMm: yMm - r, widthMm: diameterMm, heightMm: diameterMm };
  fillSpans(brush, box, bit, (y) => {
    const halfSq = r * r - (y - yMm) ** 2;
    return halfSq < 0 ? null : [xMm - Math.sqrt(halfSq), xMm + Math.sqrt(halfSq)];
  });
}

/** A band from the lower left to the upper right corner of its box at 45°, `acrossMm` wide, its ends level. */
export function fillLeaning(brush: Brush, box: BoxMm, acrossMm: number, bit: 0 | 1): void {
  fillSpans(brush, box, bit, (yMm) => {
    const left = box.xMm + (box.yMm + box.heightMm - yMm);
    return [left, left + acrossMm * Math.SQRT2];
  });
}

/** A star of so many spokes of ink, each as wide as the gap beside it. */
export function fillStar(brush: Brush, xMm: number, yMm: number, diameterMm: number, spokes: number): void {
  const { bitmap, pxPerMm } = brush;
  const r = diameterMm / 2;
  const { fromX, toX, fromY, toY } = boxPx(
    { xMm: xMm - r, yMm: yMm - r, widthMm: diameterMm, heightMm: diameterMm },
    pxPerMm,
  );
  for (let y = fromY; y < toY; y++)
    for (let x = fromX; x < toX; x++) {
      const dx = (x + 0.5) / pxPerMm - xMm;
      const dy = (y + 0.5) / pxPerMm - yMm;
      if (dx * dx + dy * dy > r * r) continue;
      const turns = Math.atan2(dy, dx) / (2 * Math.PI) + 1;
      // rounded, so that the last bit of an arc tangent decides nothing
      const half = Math.floor(Math.round(turns * 2 * spokes * 1e6 + 0.5e6) / 1e6);
      if (half % 2 === 0) fillRow(bitmap.data, y * bitmap.strideBytes, x, x + 1, 1);
    }
}
