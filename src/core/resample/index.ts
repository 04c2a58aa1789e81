import type { AxisMap } from '../geometry.ts';
import { axisFilter } from './filter.ts';
import { openPlain } from './plain.ts';
import { openVector } from './vector.ts';

export { TONE_CENTRE } from './passes.ts';

/** Where tone rows come from: row `y` of the source as ink tone less `TONE_CENTRE`, from `into[at]` on. */
export interface ToneSource {
  readonly widthPx: number;
  readonly heightPx: number;
  readRow(y: number, into: Int16Array, at: number): void;
}

/**
 * Opens a resampler: give it an output row number (rising, repeats allowed) and it fills `tone` with
 * that row, 16 bit. Separable Lanczos 3, pixel centre to pixel centre, widened when reducing, and each
 * pass clamped to the range of the source pixels nearest to the output pixel, so that flat white gets no
 * ghosts: a negative lobe beside a dark edge would otherwise be screened into stray dots.
 */
export function openResampler(
  source: ToneSource,
  x: AxisMap,
  y: AxisMap,
): (row: number, tone: Uint16Array) => void {
  const across = axisFilter(x);
  const down = axisFilter(y);
  const passes = openVector(source.widthPx, across, down) ?? openPlain(source.widthPx, across, down);
  const { padded, at } = passes;
  const end = at + source.widthPx;
  const lastRow = source.heightPx - 1;
  // rows are kept under their number modulo the taps: a window of `taps` rows never meets itself there
  const held = new Int32Array(down.taps).fill(-1);
  const slots = new Int32Array(down.taps);

  const slotOf = (sourceRow: number): number => {
    const slot = sourceRow % down.taps;
    if (held[slot] !== sourceRow) {
      source.readRow(sourceRow, padded, at);
      padded.fill(padded[at]!, 0, at);
      padded.fill(padded[end - 1]!, end);
      passes.across(slot);
      held[slot] = sourceRow;
    }
    return slot;
  };

  return (row, tone) => {
    const first = down.start[row]!;
    for (let t = 0; t < down.taps; t++)
      slots[t] = slotOf(first + t < 0 ? 0 : first + t > lastRow ? lastRow : first + t);
    passes.down(row, slots, tone);
  };
}
