import { moreCautious, type OutlineUse } from '../core/materials/contract.ts';
import type { AnyOutlineDef, Mending } from '../core/outlines/contract.ts';
import { type OutlineKind, outlines } from '../core/outlines/index.ts';
import type { Making } from './making.ts';
import { OUTLINE_COLOUR, OUTLINE_TOLERANCE_MM, type WantedJob } from './schema.ts';

/** The outline of a job, whole. */
export interface OutlineWish {
  readonly kind: OutlineKind;
  /** The kind's own settings, its defaults filled in. */
  readonly params: Readonly<Record<string, unknown>>;
  /** The more careful of what the sheet wants and what was asked for. */
  readonly as: OutlineUse;
  /** 0 where nothing is cut. */
  readonly kerfMm: number;
  readonly toleranceMm: number;
  readonly colour: string;
  readonly mending: Mending | null;
}

/** What a job says of its outline; the settings of each kind stand beside these. */
export type OutlineAsked = Pick<
  Partial<WantedJob>,
  'outline' | 'outlineAs' | 'outlineToleranceMm' | 'outlineColour'
>;

/** What lines around pieces of a plate, or of other paper, are for: the more careful of what the sheet wants and what was asked for. */
export function cutUse(
  job: OutlineAsked,
  { machine, sheet }: Pick<Making, 'machine' | 'sheet'>,
  of: 'plates' | 'paper',
): Pick<OutlineWish, 'as' | 'kerfMm' | 'colour'> {
  const ofSheet = of === 'plates' ? sheet.judgement?.outlineAs : undefined;
  const as = moreCautious(ofSheet ?? 'cut', job.outlineAs ?? 'cut');
  return { as, kerfMm: as === 'cut' ? machine.kerfMm : 0, colour: job.outlineColour ?? OUTLINE_COLOUR };
}

/** What outline a job wants on this machine and sheet; null for none. */
export function outlineWish(job: OutlineAsked, making: Making): OutlineWish | null {
  if (job.outline === undefined) return null;
  const def = outlines[job.outline] as unknown as AnyOutlineDef;
  const given = job as unknown as Readonly<Record<string, unknown>>;
  const params = def.params.parse(
    Object.fromEntries(
      Object.keys(def.params.shape).flatMap((key) => (given[key] === undefined ? [] : [[key, given[key]]])),
    ),
  );
  return {
    kind: job.outline,
    params,
    ...cutUse(job, making, 'plates'),
    toleranceMm: job.outlineToleranceMm ?? OUTLINE_TOLERANCE_MM,
    mending: def.mending(params),
  };
}

/** The settings that decide the line, for a report that makes the plate again. */
export const outlineBits = ({ kind, params, as, toleranceMm }: OutlineWish): Record<string, unknown> => ({
  outline: kind,
  ...params,
  outlineAs: as,
  outlineToleranceMm: toleranceMm,
});
