/** Pictures of three planes, upright, and their rows as the resampler takes them. */

import { setImmediate as nextTurn } from 'node:timers/promises';
import { composeOrientation, type Orientation, type RotateDeg } from '../../../core/geometry-orientation.ts';
import { openLuminance } from '../../../core/luminance.ts';
import { TONE_CENTRE, type ToneSource } from '../../../core/resample/index.ts';
import { FULL_TONE } from '../../../core/tone.ts';
import type { ColourPicture } from '../../../io/read/decode.ts';
import { openRows, type RowReader } from '../../../io/rows.ts';

/** Rows between two looks at whether the run was broken off. */
const TURN_ROWS = 256;

/** A picture of three planes, and how it is turned on its plate. */
export interface Turned {
  readonly picture: ColourPicture;
  readonly rotateDeg: RotateDeg;
}

const orientationOf = ({ picture, rotateDeg }: Turned): Orientation =>
  composeOrientation(picture.facts.orientation, rotateDeg);

/** The planes of a picture, each read by rows as the plate has them. */
export const uprightPlanes = (turned: Turned): RowReader[] =>
  turned.picture.planes.map((plane) => openRows(plane, orientationOf(turned)));

/** A plane of colour as the resampler takes it: codes for tones. */
export function planeSource(rows: RowReader): ToneSource {
  const codes = rows.newRow();
  return {
    widthPx: rows.widthPx,
    heightPx: rows.heightPx,
    readRow(y, into, at) {
      rows.read(y, codes);
      for (let x = 0; x < codes.length; x++) into[at + x] = codes[x]! * 257 - TONE_CENTRE;
    },
  };
}

/** Darkness of the picture, 0 … 65535. */
export function darkSource(turned: Turned): ToneSource {
  const planes = uprightPlanes(turned);
  const [reds, greens, blues] = planes.map((plane) => plane.newRow());
  const luminance = openLuminance();
  return {
    widthPx: planes[0]!.widthPx,
    heightPx: planes[0]!.heightPx,
    readRow(y, into, at) {
      planes[0]!.read(y, reds!);
      planes[1]!.read(y, greens!);
      planes[2]!.read(y, blues!);
      for (let x = 0; x < reds!.length; x++)
        into[at + x] =
          FULL_TONE - luminance(reds![x]! * 257, greens![x]! * 257, blues![x]! * 257) - TONE_CENTRE;
    },
  };
}

/** Calls `row` for each; throws where the run is broken off meanwhile. */
export async function eachRow(
  heightPx: number,
  signal: AbortSignal,
  row: (y: number) => void,
): Promise<void> {
  for (let y = 0; y < heightPx; y++) {
    row(y);
    if (y % TURN_ROWS === TURN_ROWS - 1) await nextTurn(undefined, { signal });
  }
}
