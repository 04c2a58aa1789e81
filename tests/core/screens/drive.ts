import { type Bitmap, countBits, createBitmap, strideFor } from '../../../src/core/bitmap.ts';
import {
  frameOf,
  type ScreenDef,
  type ScreenPlace,
  type ScreenRow,
} from '../../../src/core/screens/contract.ts';

/** A drawing given as ink tone by place, 0 … 65535. */
export interface Drawing {
  readonly widthPx: number;
  readonly heightPx: number;
  toneAt(x: number, y: number): number;
}

export const flat = (tone: number, widthPx: number, heightPx = widthPx): Drawing => ({
  widthPx,
  heightPx,
  toneAt: () => tone,
});

/** Ink tone of an 8-bit grey code, 255 = white. */
export const toneOfCode = (code: number): number => (255 - code) * 257;

export function toneRow(drawing: Drawing, y: number): Uint16Array {
  const inside = Math.min(drawing.heightPx - 1, Math.max(0, y));
  const row = new Uint16Array(drawing.widthPx);
  for (let x = 0; x < row.length; x++) row[x] = drawing.toneAt(x, inside);
  return row;
}

export interface Bands {
  /** Rows of a band; all of them when left out. */
  readonly bandRows?: number;
  readonly leadInRows?: number;
  readonly delayRows?: number;
  /** Bands from the bottom up, as a second worker might get them. */
  readonly bottomUp?: boolean;
}

/** Screens a drawing band by band: each band opened anew, its lead-in made and dropped, the outermost rows repeated beyond the picture. */
export function screenBands(
  open: (firstRow: number) => ScreenRow,
  drawing: Drawing,
  { bandRows = drawing.heightPx, leadInRows = 0, delayRows = 0, bottomUp = false }: Bands = {},
): Bitmap {
  const map = createBitmap(drawing.widthPx, drawing.heightPx);
  map.data.fill(0xa5); // so that a byte left alone shows
  const dropped = new Uint8Array(strideFor(drawing.widthPx));
  const starts = Array.from({ length: Math.ceil(drawing.heightPx / bandRows) }, (_, i) => i * bandRows);
  if (bottomUp) starts.reverse();
  for (const start of starts) {
    const row = open(start - leadInRows);
    const end = Math.min(drawing.heightPx, start + bandRows);
    for (let y = start - leadInRows; y < end + delayRows; y++) {
      const target = y - delayRows;
      if (target < start) row(toneRow(drawing, y), y, dropped, 0);
      else row(toneRow(drawing, y), y, map.data, target * map.strideBytes);
    }
  }
  return map;
}

/** A plate of 500 dpi with a spot of one tenth of a millimetre that is not allowed for, unless said otherwise. */
export const placeOf = (given: Partial<ScreenPlace> = {}): ScreenPlace => ({
  pxPerMm: 500 / 25.4,
  etchedSide: 'ink',
  plate: 0,
  spotPx: (0.1 * 500) / 25.4,
  beam: 'pulse',
  allowsForSpot: false,
  minEtchedPx: 1,
  minKeptPx: 1,
  darkestTone: 65535,
  lightestTone: 0,
  ...given,
});

/** The settings as a plate gets them: parsed, then filled in for the place. */
export function settled(
  screen: ScreenDef,
  given: Record<string, unknown> = {},
  place: ScreenPlace = placeOf(),
): Record<string, unknown> {
  const params = screen.params.parse(given);
  return screen.settle?.(params, place) ?? params;
}

const built = new Map<string, unknown>();

/** The tables of a screen; as `build` is pure, what has been built before serves again. */
export function tablesFor(screen: ScreenDef, params: Record<string, unknown>, place: ScreenPlace): unknown {
  const key = JSON.stringify([screen.kind, params, place]);
  if (!built.has(key)) built.set(key, screen.build?.(params, place));
  return built.get(key);
}

/** Opens a screen as the product does, its tables built once. */
export function opener(
  screen: ScreenDef,
  widthPx: number,
  given: Record<string, unknown> = {},
  place: ScreenPlace = placeOf(),
  heightPx = Number.POSITIVE_INFINITY,
): (firstRow: number) => ScreenRow {
  const params = settled(screen, given, place);
  const tables = tablesFor(screen, params, place);
  return (firstRow) => screen.open(params, { ...place, widthPx, heightPx, firstRow }, tables);
}

/** A drawing through a screen as the product runs it, but for the trim; `given` are settings that differ from the defaults. */
export function screened(
  screen: ScreenDef,
  drawing: Drawing,
  given: Record<string, unknown> = {},
  bands: Bands = {},
  place: ScreenPlace = placeOf(),
): Bitmap {
  const { leadInRows, delayRows } = frameOf(screen, settled(screen, given, place), place);
  return screenBands(opener(screen, drawing.widthPx, given, place, drawing.heightPx), drawing, {
    leadInRows,
    delayRows,
    ...bands,
  });
}

export const coverage = (map: Bitmap): number => countBits(map.data) / (map.widthPx * map.heightPx);

/** The rows as hexadecimal digits, ink = 1. */
export const hex = (map: Bitmap): string => Buffer.from(map.data).toString('hex');
