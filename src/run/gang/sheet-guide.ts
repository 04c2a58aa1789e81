import { type Bitmap, fillRow } from '../../core/bitmap.ts';
import { rasterFor } from '../../core/gang/sheet-time.ts';
import type { Spans } from '../../core/outlines/spans.ts';
import type { LaidSheet } from './layout.ts';

/** The guides that are engraved on one sheet. */
export interface SheetGuide {
  /** Pixels of the sheet's waste, outside every plate. */
  readonly spans: Spans;
  /** Part of the lines that is engraved, here or in the plates' own bits, 0…1. */
  readonly share: number;
}

/** A sheet whose raster has room for its guide. */
export function withRoom(sheet: LaidSheet, guide: SheetGuide | null): LaidSheet {
  if (!guide || guide.spans.length === 0) return sheet;
  let right = 0;
  for (let i = 2; i < guide.spans.length; i += 3) right = Math.max(right, guide.spans[i]!);
  const bottom = guide.spans[guide.spans.length - 3]! + 1;
  const reached = { xPx: 0, yPx: 0, widthPx: right, heightPx: bottom };
  return { ...sheet, raster: rasterFor([{ xPx: 0, yPx: 0, ...sheet.raster }, reached]) };
}

/** Etches a guide into the bits of its sheet. */
export function layGuide({ data, strideBytes }: Bitmap, { spans }: SheetGuide): void {
  for (let i = 0; i < spans.length; i += 3)
    fillRow(data, spans[i]! * strideBytes, spans[i + 1]!, spans[i + 2]!, 1);
}
