import { measurePicture, type PictureKind } from '../../core/picture/kind.ts';
import type { ToneSettings } from '../../core/tone.ts';
import { type GreySource, openToneSource } from './tone-source.ts';

/** Tones as the picture has them, before anything is done to them but its polarity. */
const asIs = (source: ToneSettings['source']): ToneSettings => ({
  source,
  whitepoint: 1,
  blackpoint: 0,
  gamma: 1,
  cap: 1,
  floor: 0,
});

/** Looks at a picture and tells what kind it is. */
export const lookAt = (source: GreySource, polarity: ToneSettings['source']): PictureKind =>
  measurePicture(openToneSource(source, asIs(polarity)));
