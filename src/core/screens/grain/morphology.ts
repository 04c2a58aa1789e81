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

function overSquare(
  values: Float32Array,
  side: number,
  widthPx: number,
  sign: 1 | -1,
  pick: Pick,
): Float32Array {
  const steps = Array.from({ length: widthPx }, (_, i) => sign * i);
  const across = over(
    values,
    side,
    steps.map((dx) => ({ dx, dy: 0 })),
    pick,
  );
  return over(
    across,
    side,
    steps.map((dy) => ({ dx: 0, dy })),
    pick,
  );
}

/**
 * Thresholds (a pixel is etched where the tone is above) changed so that at every tone no land is narrower than a square of
 * `landPx` and then no mark narrower than one of `markPx`: flat morphology commutes with thresholding, so opening and
 * closing the thresholds opens what is etched and what is kept, at all tones at once.
 */
export function holdThresholds(
  values: Float32Array,
  side: number,
  { markPx, landPx }: { readonly markPx: number; readonly landPx: number },
): Float32Array {
  let held = values;
  if (landPx > 1) held = overSquare(overSquare(held, side, landPx, 1, 'lowest'), side, landPx, -1, 'highest');
  if (markPx > 1) held = overSquare(overSquare(held, side, markPx, 1, 'highest'), side, markPx, -1, 'lowest');
  return held;
}
