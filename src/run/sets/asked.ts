import { bitsOf } from '../../job/layers.ts';
import { plainSha256 } from '../../report/job-hash.ts';
import type { SetReport } from '../../report/set/schema.ts';
import { givenOf } from '../given.ts';
import type { SeparateRequest } from './request.ts';
import { separateSettings } from './settings.ts';

/** Colours that divide a picture, or that plates without an ink of their own are printed in. */
const COLOURS = ['paperColour', 'inkColour'];
/** Said by the method, by the inks and by what is cut; pages for the press are no plates. */
const TOLD_ELSEWHERE = ['by', 'inks', 'pieceMap', 'registerMap', 'bedTemplate', 'paperSize'];

/** What is asked of a set beside its pictures: all that its plates hang on, its inks and every setting that may come again among it. */
export function setAsked({
  method,
  inks,
  settings,
  base,
  looking,
  pictures,
}: Pick<
  SeparateRequest,
  'method' | 'inks' | 'settings' | 'base' | 'looking' | 'pictures'
>): SetReport['asked'] {
  const keys = separateSettings.keyof().options.filter((key) => !TOLD_ELSEWHERE.includes(key));
  return {
    by: method?.def.kind ?? null,
    method: { ...method?.params },
    inks: inks?.map(({ name, colour, opaque }) => ({ name, colour, opaque })) ?? null,
    settings: { ...givenOf(settings, keys), ...givenOf(looking, COLOURS) },
    job: bitsOf(base.job),
    plates: pictures.map(({ plate }) => plate),
  };
}

/** What of a set's record decides its plates, each plate's own job among it. */
type SetRecord = Pick<SetReport, 'asked'> & {
  readonly plates: readonly {
    readonly name: string;
    readonly ink: SetReport['plates'][number]['ink'];
    readonly report: Pick<SetReport['plates'][number]['report'], 'jobSha256'>;
  }[];
};

/** SHA-256 of what decides a set; not of its pictures. */
export const setSha256 = ({ asked, plates }: SetRecord): string =>
  plainSha256({
    asked,
    plates: plates.map(({ name, ink, report }) => ({ name, ink, job: report.jobSha256 })),
  });
