import { type Bitmap, countBits } from '../bitmap.ts';
import { measures, type MeasureKind } from './measures.ts';
import type { PlateSide } from './words.ts';

/** Where a limit comes from; every caution says so. */
export type LimitBasis = 'measured' | 'common-practice' | 'from-memory';

export interface HoldLimit {
  readonly mm: number;
  readonly basis: LimitBasis;
}

/** One thing a process wants looked at, declared by the process. */
export interface HoldNeed {
  /** Name of the check in reports: lower case, words joined by hyphens. */
  readonly code: string;
  readonly measure: MeasureKind;
  readonly side: PlateSide;
  /** Name of its limit among those given; a need without a limit is left out. */
  readonly limit: string;
  /** True where what reaches the plate's edge goes on beyond it, as a white gap does. */
  readonly goesOnOutside?: boolean;
}

export interface HoldSettings {
  readonly pitchMm: number;
  /** Width of the mark of one firing. */
  readonly spotMm: number;
  readonly limits: Readonly<Record<string, HoldLimit>>;
}

/** From the plate's left and top edge. */
export interface HoldPlace {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

export interface HoldCheck {
  readonly code: string;
  readonly limitMm: number;
  readonly basis: LimitBasis;
  /** Null where everything holds. */
  readonly worstMm: number | null;
  readonly count: number;
  readonly areaMm2: number;
  /** The five worst at most. */
  readonly places: readonly HoldPlace[];
  /** Share of its side of the plate that does not hold, and of that share what each width has, narrowest first. */
  readonly share: number;
  readonly byWidth: readonly { readonly widthMm: number; readonly share: number }[];
}

/**
 * Measures a finished plate against what its process needs: one answer for every need that has a limit, in the
 * order of the needs; a check that found nothing has count 0.
 */
export function checkHold(map: Bitmap, needs: readonly HoldNeed[], settings: HoldSettings): HoldCheck[] {
  const etchedPx = countBits(map.data);
  const plate = {
    map,
    pitchMm: settings.pitchMm,
    spotMm: settings.spotMm,
    sidePx: { etched: etchedPx, kept: map.widthPx * map.heightPx - etchedPx },
    thin: new Map(),
  };
  return needs.flatMap((need) => {
    const limit = settings.limits[need.limit];
    if (limit === undefined) return [];
    const found = measures[need.measure](plate, need, limit.mm);
    return [{ code: need.code, limitMm: limit.mm, basis: limit.basis, ...found }];
  });
}
