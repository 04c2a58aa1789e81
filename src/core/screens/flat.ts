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

/**
 * Screens one flat ink tone (0 … 65535) and makes it etch, `widthPx` × `heightPx`, lead-in dropped. So many pixels of
 * `rimPx` are bare paper all round, as beside a picture, so that a trim takes away what the edges cut off.
 */
export function flatPatch(
  { def, params, place, tables }: OpenedScreen,
  inkTone: number,
  widthPx: number,
  heightPx: number,
  rimPx = 0,
): Bitmap {
  const { leadInRows, delayRows, trim } = frameOf(def, params, place);
  const map = createBitmap(widthPx, heightPx);
  const inner = { widthPx: widthPx - 2 * rimPx, heightPx: heightPx - 2 * rimPx };
  const row = def.open(params, { ...place, widthPx: inner.widthPx, firstRow: -leadInRows }, tables);
  const tone = new Uint16Array(inner.widthPx).fill(inkTone);
  const bits = new Uint8Array(strideFor(inner.widthPx));
  for (let y = -leadInRows; y < inner.heightPx + delayRows; y++) {
    const target = y - delayRows;
    row(tone, y, bits, 0);
    if (target >= 0) placeRow(bits, 0, inner.widthPx, map.data, (target + rimPx) * map.strideBytes, rimPx);
  }
  const box = { xPx: rimPx, yPx: rimPx, ...inner };
  const border = place.etchedSide === 'paper' ? 'etched' : 'kept';
  etchRows(map, { etches: place.etchedSide, border, box, mirror: false }, 0, heightPx);
  if (trim) trimRows(map, trim, 0, heightPx, seamsOf(map, trim, 0, heightPx));
  return map;
}
