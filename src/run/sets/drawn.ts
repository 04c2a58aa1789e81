import { closeSync } from 'node:fs';
import type { Bitmap } from '../../core/bitmap.ts';
import type { PlateLayout } from '../../core/geometry.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import type { PrepareRequest } from '../plate/request.ts';
import { bitsScratch } from './source/scratch.ts';

/** The source of one plate; `close` gives its scratch back. */
export interface PlateSource {
  readonly input: PrepareRequest['input'];
  close(): void;
}

/** The facts of a picture drawn on the raster of the plate. */
export const drawnFacts = (told: PictureFacts, { box }: PlateLayout): PictureFacts => ({
  ...told,
  widthPx: box.widthPx,
  heightPx: box.heightPx,
  uprightWidthPx: box.widthPx,
  uprightHeightPx: box.heightPx,
  ppiX: null,
  ppiY: null,
  sizeMm: null,
  orientation: 1,
  alpha: false,
  depthBits: 8,
  blackCode: 0,
  whiteCode: 255,
  drawing: false,
  cautions: [],
});

/** A plate of two levels, drawn on its own raster. */
export async function drawnSource(
  ink: Bitmap,
  told: PictureFacts,
  layout: PlateLayout,
  scratchFolder: string,
  signal: AbortSignal,
): Promise<PlateSource> {
  const scratch = await bitsScratch(ink, scratchFolder, signal);
  return {
    input: { name: told.name, picture: { facts: drawnFacts(told, layout), scratch }, ink, told },
    close: () => closeSync(scratch.fd),
  };
}
