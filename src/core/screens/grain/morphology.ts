import type { Offset } from '../../spot/regions.ts';

type Pick = 'highest' | 'lowest';

/**
 * For every place of a square whose edges wrap, the highest (or lowest) value at the given offsets from it. Flat
 * morphology after G. Matheron 1975 and J. Serra 1982 (both from memory).
 */
export function over(
  values: Float32Array,
  side: number,
  offsets: readonly Offset[],
  pick: Pick,
): Float32Array {
  const mask = side - 1;
  const out = new Float32Array(values.length).fill(pick === 'highest' ? -Infinity : Infinity);
  for (const { dx, dy } of offsets) {
    const shift = dx & mask;
    for (let y = 0; y < side; y++) {
      const to = y * side;
      const from = ((y + dy) & mask) * side;
      take(values, from + shift, out, to, side - shift, pick);
      take(values, from, out, to + side - shift, shift, pick);
    }
  }
  return out;
}

function take(
  values: Float32Array,
  from: number,
  out: Float32Array,
  to: number,
  count: number,
  pick: Pick,
): void {
  if (pick === 'highest')
    for (let i = 0; i < count; i++) {
      const value = values[from + i]!;
      if (value > out[to + i]!) out[to + i] = value;
    }
  else
    for (let i = 0; i < count; i++) {
      const value = values[from + i]!;
      if (value < out[to + i]!) out[to + i] = value;
    }
}

/** A rectangle of whole pixels. */
interface Rectangle {
  readonly columnsPx: number;
  readonly rowsPx: number;
}

const stepsTo = (widthPx: number, sign: 1 | -1): number[] =>
  Array.from({ length: widthPx }, (_, i) => sign * i);

function overRectangle(
  values: Float32Array,
  side: number,
  { columnsPx, rowsPx }: Rectangle,
  sign: 1 | -1,
  pick: Pick,
): Float32Array {
  const across = over(
    values,
    side,
    stepsTo(columnsPx, sign).map((dx) => ({ dx, dy: 0 })),
    pick,
  );
  return over(
    across,
    side,
    stepsTo(rowsPx, sign).map((dy) => ({ dx: 0, dy })),
    pick,
  );
}

const isOnePixel = ({ columnsPx, rowsPx }: Rectangle): boolean => columnsPx === 1 && rowsPx === 1;

/**
 * Thresholds (a pixel is etched where the tone is above) changed so that at every tone no land is narrower than a rectangle
 * `land` and then no mark narrower than one of `mark`: flat morphology commutes with thresholding, so opening and
 * closing the thresholds opens what is etched and what is kept, at all tones at once.
 */
export function holdThresholds(
  values: Float32Array,
  side: number,
  mark: Rectangle,
  land: Rectangle,
): Float32Array {
  let held = values;
  if (!isOnePixel(land))
    held = overRectangle(overRectangle(held, side, land, 1, 'lowest'), side, land, -1, 'highest');
  if (!isOnePixel(mark))
    held = overRectangle(overRectangle(held, side, mark, 1, 'highest'), side, mark, -1, 'lowest');
  return held;
}
