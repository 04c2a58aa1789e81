import type { ToneSource } from '../resample/index.ts';
import { boxAcross, boxDown } from './box.ts';

/**
 * Length of each box, in periods of the screen. Three of them pass sinc³(0.84·f): of the screen's waves, which two axes at any
 * angle share between them, 1.8 % at 45° and less at others.
 */
const BOX_PERIODS = 0.84;

/**
 * Takes a halftone's dots out of the grey source, before it is resized: three boxes along each axis, round enough that the screen's angle does
 * not matter. `rulingPerPx` is the screen's, in cycles per source pixel, above 0 to 0.5. Mean and flat tones are kept exactly, but for
 * rounding. What it costs: waves longer than 2.3 of the screen's periods keep half of their contrast or more, those of
 * four periods 80 %; edges soften over about two periods.
 */
export function openDescreen(source: ToneSource, rulingPerPx: number): ToneSource {
  if (!(rulingPerPx > 0 && rulingPerPx <= 0.5))
    throw new RangeError(`a screen of ${rulingPerPx} lines a pixel`);
  const lengthPx = BOX_PERIODS / rulingPerPx;
  let rows = source;
  for (let pass = 0; pass < 3; pass++) rows = boxAcross(rows, lengthPx);
  for (let pass = 0; pass < 3; pass++) rows = boxDown(rows, lengthPx);
  return rows;
}
