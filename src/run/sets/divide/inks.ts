import { parseColour } from '../../../core/proof/colour.ts';
import type { SetInk } from '../../../core/separations/contract.ts';
import { inksOf } from '../../../core/separations/palette.ts';
import type { ColourPicture } from '../../../io/read/decode.ts';
import { inkOf } from '../../../job/inks.ts';
import { foundNames } from '../found.ts';
import type { SeparateRequest } from '../request.ts';
import { type Turned, uprightPlanes } from '../source/upright.ts';

/** Samples that inks are looked for in. */
const SAMPLES = 20_000;
const SEED = 1;

/** Samples of a picture in a grid of at most about `most`, three bytes each. */
function sampleColours(turned: Turned, most: number): Uint8Array {
  const planes = uprightPlanes(turned);
  const { widthPx, heightPx } = planes[0]!;
  const step = Math.max(1, Math.ceil(Math.sqrt((widthPx * heightPx) / most)));
  const [across, down] = [Math.ceil(widthPx / step), Math.ceil(heightPx / step)];
  const rgb = new Uint8Array(3 * across * down);
  for (const [k, plane] of planes.entries()) {
    const row = plane.newRow();
    for (let y = 0; y < down; y++) {
      plane.read(y * step, row);
      for (let x = 0; x < across; x++) rgb[3 * (y * across + x) + k] = row[x * step]!;
    }
  }
  return rgb;
}

/** The inks of a set, in printing order: as they are given, or found in the picture. */
export function inksFor(
  { inks, settings, method, looking }: SeparateRequest,
  picture: ColourPicture,
  rotateDeg: SeparateRequest['base']['job']['rotateDeg'],
): readonly SetInk[] {
  if (inks) return inks;
  const count = settings.colours ?? method!.def.inks.found ?? method!.def.inks.least;
  const paper = parseColour(looking.paperColour, 'paper');
  const names = foundNames(method!.def, count);
  return inksOf(sampleColours({ picture, rotateDeg }, SAMPLES), count, paper, SEED).map((colour, index) =>
    inkOf(names[index]!, colour),
  );
}
