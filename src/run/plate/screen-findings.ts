import type { HoldCheck } from '../../core/hold/contract.ts';
import type { ScreenFinding } from '../../core/screens/contract.ts';

/** As many places as a check of what holds gives. */
const MOST_PLACES = 5;

/**
 * What a screen had to give up, told like what will not hold: one check for each kind, largest places first. Findings lie
 * on the picture, whose corner lies at `xPx`, `yPx` of the plate, print-reading.
 */
export function findingChecks(
  found: readonly ScreenFinding[],
  box: { readonly xPx: number; readonly yPx: number; readonly widthPx: number; readonly heightPx: number },
  pitchMm: number,
): HoldCheck[] {
  return [...new Set(found.map(({ code }) => code))].map((code) => {
    const all = found.filter((one) => one.code === code);
    const areaPx = (one: ScreenFinding): number => one.widthPx * one.heightPx;
    const sorted = [...all].sort((a, b) => areaPx(b) - areaPx(a) || a.yPx - b.yPx || a.xPx - b.xPx);
    const total = all.reduce((sum, one) => sum + areaPx(one), 0);
    return {
      code,
      limitMm: all[0]!.limitPx * pitchMm,
      // two spots for a stroke, the smallest land for a gap
      basis: 'from-memory',
      worstMm: all.reduce((least, { sizePx }) => Math.min(least, sizePx), Number.POSITIVE_INFINITY) * pitchMm,
      count: all.length,
      areaMm2: total * pitchMm ** 2,
      share: Math.min(1, total / (box.widthPx * box.heightPx)),
      places: sorted.slice(0, MOST_PLACES).map(({ xPx, yPx, widthPx, heightPx }) => ({
        xMm: (box.xPx + xPx) * pitchMm,
        yMm: (box.yPx + yPx) * pitchMm,
        widthMm: widthPx * pitchMm,
        heightMm: heightPx * pitchMm,
      })),
      byWidth: [],
    };
  });
}
