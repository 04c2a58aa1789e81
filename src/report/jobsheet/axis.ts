/** Carries values from one range to another in a straight line. */
export const scale =
  (from: readonly [number, number], to: readonly [number, number]) =>
  (value: number): number =>
    to[0] + ((value - from[0]) / (from[1] - from[0])) * (to[1] - to[0]);

/**
 * Round values from 0 up to the first at or beyond `most`, about `count` steps of 1, 2 or 5 times a power of ten
 * (P. Heckbert, "Nice numbers for graph labels", Graphics Gems, 1990). `most` above 0.
 */
export function ticks(most: number, count: number): number[] {
  const rough = most / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5].find((nice) => nice * power >= rough * (1 - 1e-9)) ?? 10);
  const steps = Math.ceil(most / step - 1e-9);
  return Array.from({ length: steps + 1 }, (_, i) => Number((i * step).toPrecision(12)));
}

/** A coordinate to a hundredth of a millimetre. */
export const at = (mm: number): number => Math.round(mm * 100) / 100;
