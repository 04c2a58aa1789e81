import type { PictureKind } from '../../core/picture/kind.ts';
import { type ScreenKind, screens } from '../../core/screens/index.ts';
import type { Job } from '../../job/schema.ts';
import type { Caution } from '../schema.ts';
import { caution } from './index.ts';

/** What was seen of a picture that has a screen already, and what becomes of it. */
export interface ScreenedPicture {
  readonly picture: PictureKind;
  readonly asked: Job['descreen'];
  /** Null where its dots stay. */
  readonly descreenPerPx: number | null;
  /** True where its dots go on as they are. */
  readonly passes: boolean;
  /** The screen of the plate. */
  readonly screen: ScreenKind;
}

/** So far from the ruling found, the one given takes out other waves: a tenth finer, 4 % of the dots' waves stay and not 2. */
const MOST_OFF = 1.1;

const round = (value: number): number => Number(value.toFixed(1));

/** Cautions about a picture that is screened already; `ppi` are its pixels to an inch. */
export function screenedCautions(seen: ScreenedPicture, ppi: number): Caution[] {
  if (seen.descreenPerPx !== null) return [descreened(seen.picture, seen.descreenPerPx, ppi)];
  if (seen.picture.kind === 'screened') return [seen.passes ? passing() : staying(seen, ppi)];
  if (seen.asked !== 'auto') return [];
  return [
    caution({
      code: 'descreen-unseen',
      severity: 'note',
      text: 'No dots of a screen were found in the picture, so nothing was taken out',
      cure: 'Where you see some, count them: --descreen takes their ruling in lpi, too.',
    }),
  ];
}

/** What to say where dots of this ruling were to go. */
function descreened({ screen }: PictureKind, perPx: number, ppi: number): Caution {
  const value = round(perPx * ppi);
  const of = { severity: 'note', value, unit: 'lpi' } as const;
  if (screen === null)
    return caution({
      ...of,
      code: 'descreen-unseen',
      text: `No dots of a screen were found in the picture; it was smoothed as for one of ${value} lpi`,
      cure: 'Leave --descreen out, unless you see dots or lines in it.',
    });
  const limit = round(screen.rulingPerPx * ppi);
  const both = `The picture has a screen of ${limit} lpi, and one of ${value} lpi was to be taken out`;
  if (perPx > screen.rulingPerPx * MOST_OFF)
    return caution({
      ...{ ...of, limit, code: 'descreen-finer', severity: 'warn' },
      text: `${both}: some of its dots stay`,
      cure: 'Give --descreen auto, which goes by the picture.',
    });
  if (perPx * MOST_OFF < screen.rulingPerPx)
    return caution({
      ...{ ...of, limit, code: 'descreen-coarser' },
      text: `${both}: its dots are gone, and more detail than need be`,
      cure: 'Give --descreen auto, which goes by the picture.',
    });
  return caution({
    ...of,
    code: 'descreened',
    text: `The dots of a screen of ${value} lpi were taken out of the picture before it was screened anew`,
    cure: 'Details finer than two of its dots go with them: a better original is a drawing or a photograph.',
  });
}

const passing = (): Caution =>
  caution({
    code: 'screened-passes',
    severity: 'note',
    text: 'The picture is screened already, and goes on as it is',
    cure: 'Whether its dots hold on your plate is judged like everything else; to screen it anew, start from the picture in tones.',
  });

/** What dots that stay do to the plate, and to the screen it has. */
function staying({ picture, screen }: ScreenedPicture, ppi: number): Caution {
  const value = picture.screen && round(picture.screen.rulingPerPx * ppi);
  const of = picture.screen ? `, ${value} lpi at ${round(picture.screen.angleDeg)}° in the picture` : '';
  const beats = screens[screen].hasGrid === true;
  const gridless = beats ? 'use a screen without a grid such as cell or grain, ' : '';
  return caution({
    code: 'screened-picture',
    text: beats
      ? `The picture is screened already${of}: its dots and the new ones may beat in coarse bands`
      : `The picture is screened already${of}: its dots stay, and may show as a pattern`,
    value,
    unit: value === null ? null : 'lpi',
    cure: picture.screen
      ? `Take its dots out with --descreen auto, ${gridless}or start from the picture in tones.`
      : 'Start from the picture in tones, or keep its size so that its dots pass as they are.',
  });
}
