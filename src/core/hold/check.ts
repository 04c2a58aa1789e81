import { type Bitmap, countBits } from '../bitmap.ts';
import type { HoldCheck, HoldNeed, HoldSettings } from './contract.ts';
import { measures } from './measures.ts';

/**
 * Measures a finished plate against what its process needs: one answer for every need that has a limit, in the
 * order of the needs; a check that found nothing has count 0. Needs do not know each other, so workers may
 * share them out; walls and dots of one side and limit are looked for only once if they stay together.
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
