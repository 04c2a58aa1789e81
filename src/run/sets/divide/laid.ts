import type { PlateLayout } from '../../../core/geometry.ts';
import { type ColourPicture, decodeColours } from '../../../io/read/decode.ts';
import { type Inspection, inspectPicture } from '../../../io/read/inspect.ts';
import { layPrint } from '../../../job/plan.ts';
import type { RunContext } from '../../plate/context.ts';
import { drawnFor, turnedSize } from '../../plate/open-input.ts';
import type { SeparateRequest } from '../request.ts';

/** A picture whose colours are wanted, looked at; `expected` is how it would lie on the plates. */
export interface SeenColours {
  readonly inspection: Inspection;
  readonly expected: PlateLayout;
}

/** The same, decoded, and how it lies. */
export interface LaidPicture {
  readonly picture: ColourPicture;
  readonly layout: PlateLayout;
}

/** Reads the header of one page of a picture. Throws EtchError where it cannot be read. */
export async function lookAtColours(
  { base }: SeparateRequest,
  input: NonNullable<SeparateRequest['picture']>,
  page: number,
  { signal, scratchFolder }: RunContext,
): Promise<SeenColours> {
  const { maxPixels, rotateDeg } = base.job;
  const reading = { page, maxPixels, scratchDir: scratchFolder, colour: true };
  const inspection = await inspectPicture(input, reading, signal);
  return { inspection, expected: layPrint(base.job, turnedSize(inspection.facts, rotateDeg)) };
}

/** Decodes a picture that was looked at; a drawing has its pixels, and so its layout, only then. Whoever asks closes it. */
export async function decodeLaid(
  { base }: SeparateRequest,
  { inspection, expected }: SeenColours,
  { signal }: RunContext,
): Promise<LaidPicture> {
  const { rotateDeg } = base.job;
  const picture = await decodeColours(inspection, drawnFor(expected, rotateDeg), signal);
  try {
    return { picture, layout: layPrint(base.job, turnedSize(picture.facts, rotateDeg)) };
  } catch (error) {
    picture.close();
    throw error;
  }
}
