import type { PictureSize, PlateLayout } from '../../core/geometry.ts';
import { decodePicture, type Picture } from '../../io/read/decode.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import { type Inspection, inspectPicture } from '../../io/read/inspect.ts';
import type { ReadOptions } from '../../io/read/reader.ts';
import type { RunContext } from './context.ts';
import type { PrepareRequest } from './request.ts';

/** The picture as it lies on the plate. */
export const turnedSize = (facts: PictureFacts, rotateDeg: number): PictureSize => {
  const upright = {
    widthPx: facts.uprightWidthPx,
    heightPx: facts.uprightHeightPx,
    ppiX: facts.ppiX,
    ppiY: facts.ppiY,
  };
  return rotateDeg % 180 === 0
    ? upright
    : { widthPx: upright.heightPx, heightPx: upright.widthPx, ppiX: upright.ppiY, ppiY: upright.ppiX };
};

/** True for drawings with a pixel for each of the plate's: to scan those larger gives nothing. */
export const drawnAtFull = (
  { format }: Pick<PictureFacts, 'format'>,
  { sourcePpi }: PlateLayout,
  dpi: number,
): boolean => format === 'svg' && sourcePpi > dpi - 1;

/** A drawing is best drawn with just the pixels that the plate has for it. */
export function drawnFor(layout: PlateLayout, rotateDeg: number): { drawingWidthPx: number } {
  const along = rotateDeg % 180 === 0 ? layout.x : layout.y;
  return { drawingWidthPx: Math.max(1, Math.round(along.sourcePx / along.stepPx)) };
}

/** What is known of a picture before it is decoded, and how it is. */
export interface OpenInput {
  readonly facts: PictureFacts;
  /** Null for a picture that is decoded already. */
  readonly inspection: Inspection | null;
  readonly reading: ReadOptions;
  decode(expected: PlateLayout): Promise<Picture>;
}

/** Looks at the picture of a plate; one that is drawn already is taken as it is. */
export async function openInput(
  { input, job }: PrepareRequest,
  { scratchFolder, signal }: RunContext,
): Promise<OpenInput> {
  const reading = { page: job.page, maxPixels: job.maxPixels, scratchDir: scratchFolder };
  if ('picture' in input)
    return {
      facts: input.picture.facts,
      inspection: null,
      reading,
      decode: async () => ({ ...input.picture, close: () => undefined }),
    };
  const inspection = await inspectPicture(input, reading, signal);
  return {
    facts: inspection.facts,
    inspection,
    reading,
    decode: (expected) => decodePicture(inspection, drawnFor(expected, job.rotateDeg), signal),
  };
}
