import { type Bitmap, createBitmap } from '../../../core/bitmap.ts';
import type { PlateLayout } from '../../../core/geometry.ts';
import { composeOrientation, type RotateDeg } from '../../../core/geometry-orientation.ts';
import { openResampler } from '../../../core/resample/index.ts';
import { FULL_TONE, type ToneSettings } from '../../../core/tone.ts';
import type { Picture } from '../../../io/read/decode.ts';
import { openToneSource } from '../../plate/tone-source.ts';
import { eachRow } from './upright.ts';

const PLAIN: ToneSettings = {
  source: 'positive',
  whitepoint: 1,
  blackpoint: 0,
  gamma: 1,
  cap: 1,
  floor: 0,
};

/** What a picture of one plate asks for: ink where it is at least half as dark as ink. */
export async function askedBits(
  { facts, scratch }: Pick<Picture, 'facts' | 'scratch'>,
  rotateDeg: RotateDeg,
  { box, x, y }: PlateLayout,
  signal: AbortSignal,
): Promise<Bitmap> {
  const source = openToneSource(
    { scratch, codes: facts, orientation: composeOrientation(facts.orientation, rotateDeg) },
    PLAIN,
  );
  const rows = openResampler(source, x, y);
  const tone = new Uint16Array(box.widthPx);
  const map = createBitmap(box.widthPx, box.heightPx);
  await eachRow(box.heightPx, signal, (row) => {
    rows(row, tone);
    const at = row * map.strideBytes;
    for (let i = 0; i < tone.length; i++)
      if (tone[i]! > FULL_TONE / 2) map.data[at + (i >> 3)] = map.data[at + (i >> 3)]! | (0x80 >> (i & 7));
  });
  return map;
}
