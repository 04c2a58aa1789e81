import type { RunContext } from '../../plate/context.ts';
import { refuseWithoutRoom, SET_OF_AREAS } from '../../plate/room.ts';
import type { Division } from '../division.ts';
import type { SeparateRequest } from '../request.ts';
import { divideAreas } from './areas.ts';
import { decodeLaid, type LaidPicture, lookAtColours } from './laid.ts';
import { dividePictures } from './pictures.ts';
import { beginTones } from './tones.ts';

async function divideOne(
  request: SeparateRequest,
  input: NonNullable<SeparateRequest['picture']>,
  context: RunContext,
): Promise<Division> {
  const { base, method } = request;
  const { page, dpi } = base.job;
  const seen = await lookAtColours(request, input, page, context);
  const way = method!.def.way(method!.params);
  let divided: (laid: LaidPicture) => Promise<Division>;
  if (way.draws === 'areas') {
    refuseWithoutRoom({ ...seen.expected, dpi }, SET_OF_AREAS, base.making);
    divided = (laid) => divideAreas(request, way, laid, context);
  } else divided = beginTones(request, way, seen.expected, context);
  const laid = await decodeLaid(request, seen, context);
  try {
    // awaited here, since the picture is closed afterwards
    return await divided(laid);
  } finally {
    laid.picture.close();
  }
}

/** Divides the picture of a set, or brings the pictures of its plates together. Throws JobError where they do not fit. */
export const divide = (request: SeparateRequest, context: RunContext): Promise<Division> =>
  request.picture ? divideOne(request, request.picture, context) : dividePictures(request, context);
