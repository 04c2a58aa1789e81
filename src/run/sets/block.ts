import { type Bitmap, countBits } from '../../core/bitmap.ts';
import { either, heaped } from '../../core/separations/bits.ts';
import type { SetReport } from '../../report/set/schema.ts';
import { tidy } from '../../report/tidy.ts';
import type { Prepared } from '../plate/request.ts';

/**
 * What becomes of the one block, cut by cut; null where a plate has no bits. Where cuts overlap, their depths (mm, null
 * where not known) add up.
 */
export function blockOf(made: readonly Prepared[], depths: readonly (number | null)[]): SetReport['block'] {
  const cuts: Bitmap[] = [];
  for (const { printed } of made) if (printed) cuts.push(printed.bitmap);
  const [first] = cuts;
  if (!first || cuts.length < made.length) return null;
  const share = (map: Bitmap): number => tidy(countBits(map.data) / (first.widthPx * first.heightPx));
  let etched = first;
  let timeS: number | null = 0;
  const states = made.map(({ report: { time } }, index) => {
    const cut = cuts[index]!;
    if (index > 0) etched = either(etched, cut);
    timeS = timeS === null || time === null ? null : timeS + time.totalS;
    return { cut: share(cut), standing: tidy(1 - share(etched)), timeS: timeS === null ? null : tidy(timeS) };
  });
  const { most, againPx } = heaped(cuts);
  const known = depths.flatMap((mm) => (mm === null ? [] : [mm]));
  return {
    states,
    cutsInOnePlace: most,
    again: tidy(againPx / (first.widthPx * first.heightPx)),
    deepestMm: known.length < depths.length ? null : tidy(most * Math.max(...known)),
  };
}
