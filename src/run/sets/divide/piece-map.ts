import { JobError } from '../../../core/errors.ts';
import type { PlateLayout } from '../../../core/geometry.ts';
import type { RunContext } from '../../plate/context.ts';
import type { SeparateRequest } from '../request.ts';
import { decodeLaid, type LaidPicture, lookAtColours } from './laid.ts';

/** The picture that divides another, on the same raster. JobError where it has another shape. */
export async function openMap(
  request: SeparateRequest,
  input: NonNullable<SeparateRequest['pieceMap']>,
  { box }: PlateLayout,
  context: RunContext,
): Promise<LaidPicture> {
  const seen = await lookAtColours(request, input, 1, context);
  const { picture, layout } = await decodeLaid(request, seen, context);
  // one pixel of a proportion is the rounding of its size
  if (Math.abs(layout.box.widthPx - box.widthPx) <= 1 && Math.abs(layout.box.heightPx - box.heightPx) <= 1)
    return { picture, layout: { ...layout, box } };
  picture.close();
  throw new JobError(
    [
      {
        code: 'piece-map-differs',
        message: `--piece-map: ${input.name} would be ${layout.box.widthPx} × ${layout.box.heightPx} pixels of the plate, but the picture is ${box.widthPx} × ${box.heightPx}`,
        hint: 'Draw the map on a copy of the picture, so that both have the same proportion.',
      },
    ],
    'input',
  );
}
