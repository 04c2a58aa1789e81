import type { PictureKind } from '../core/picture/kind.ts';
import { caution } from './cautions.ts';
import type { Caution } from './schema.ts';

/** What was seen of a picture that has a screen already, and what becomes of it. */
export interface ScreenedPicture {
  readonly picture: PictureKind;
  /** Null where its dots stay. */
  readonly descreenPerPx: number | null;
  /** True where its dots go on as they are. */
  readonly passes: boolean;
}

/** Cautions about a picture that is screened already; `ppi` are its pixels to an inch. */
export function screenedCautions(
  { picture, descreenPerPx, passes }: ScreenedPicture,
  ppi: number,
): Caution[] {
  const round = (value: number): number => Number(value.toFixed(1));
  if (descreenPerPx !== null) {
    const value = round(descreenPerPx * ppi);
    return [
      caution({
        code: 'descreened',
        severity: 'note',
        text: `The dots of a screen of ${value} lpi were taken out of the picture before it was screened anew`,
        value,
        unit: 'lpi',
        cure: 'Details finer than two of its dots go with them: a better original is a drawing or a photograph.',
      }),
    ];
  }
  if (picture.kind !== 'screened') return [];
  if (passes)
    return [
      caution({
        code: 'screened-passes',
        severity: 'note',
        text: 'The picture is screened already, and goes on as it is',
        cure: 'Whether its dots hold on your plate is judged like everything else; to screen it anew, start from the picture in tones.',
      }),
    ];
  const value = picture.screen && round(picture.screen.rulingPerPx * ppi);
  const of = picture.screen ? `, ${value} lpi at ${round(picture.screen.angleDeg)}° in the picture` : '';
  return [
    caution({
      code: 'screened-picture',
      text: `The picture is screened already${of}: its dots and the new ones may beat in coarse bands`,
      value,
      unit: value === null ? null : 'lpi',
      cure: picture.screen
        ? 'Take its dots out with --descreen auto, use a screen without a grid such as cell or grain, or start from the picture in tones.'
        : 'Start from the picture in tones, or keep its size so that its dots pass as they are.',
    }),
  ];
}
