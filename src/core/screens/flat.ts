import { type Bitmap, createBitmap, placeRow, strideFor } from '../bitmap.ts';
import { etchRows } from '../plate.ts';
import { seamsOf, trimRows } from '../trim.ts';
import { frameOf, type ScreenDef, type ScreenPlace } from './contract.ts';

/** A screen with its settings whole, on its place, with its tables built. */
export interface OpenedScreen {
  readonly def: ScreenDef;
  readonly params: Readonly<Record<string, unknown>>;
  readonly place: ScreenPlace;
  readonly tables: unknown;
}

/** Where a patch of flat tone lies. */
export interface FlatPlace {
  /** Bare paper all round, as beside a picture, so that a trim takes away what the edges cut off. */
  readonly rimPx: number;
  /** Column (a multiple of 8) and about the row of the screen that the patch begins with, so that patches differ as on a plate. */
  readonly xPx: number;
  readonly yPx: number;
}

/**
 * Screens one flat ink tone (0 … 65535) and makes it etch, `widthPx` × `heightPx` with its rim, lead-in dropped.
 */
export function flatPatch(
  { def, params, place, tables }: OpenedScreen,
  inkTone: number,
  widthPx: number,
  heightPx: number,
  { rimPx, xPx, yPx }: FlatPlace = { rimPx: 0, xPx: 0, yPx: 0 },
): Bitmap {
  const { leadInRows, delayRows, stepRows, trim } = frameOf(def, params, place);
  const fromRow = Math.floor(yPx / stepRows) * stepRows;
  const map = createBitmap(widthPx, heightPx);
  const inner = { widthPx: widthPx - 2 * rimPx, heightPx: heightPx - 2 * rimPx };
  const openedPx = xPx + inner.widthPx;
  const row = def.open(params, { ...place, widthPx: openedPx, firstRow: fromRow - leadInRows }, tables);
  const tone = new Uint16Array(openedPx).fill(inkTone);
  const bits = new Uint8Array(strideFor(openedPx));
  for (let y = -leadInRows; y < inner.heightPx + delayRows; y++) {
    const target = y - delayRows;
    row(tone, fromRow + y, bits, 0);
    if (target >= 0)
      placeRow(bits, xPx >> 3, inner.widthPx, map.data, (target + rimPx) * map.strideBytes, rimPx);
  }
  const box = { xPx: rimPx, yPx: rimPx, ...inner };
  const border = place.etchedSide === 'paper' ? 'etched' : 'kept';
  etchRows(map, { etches: place.etchedSide, border, box, mirror: false }, 0, heightPx);
  if (trim) trimRows(map, trim, 0, heightPx, seamsOf(map, trim, 0, heightPx));
  return map;
}
