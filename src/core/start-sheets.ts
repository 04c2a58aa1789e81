/**
 * Sheets to start with, so that `wanted` good ones are left after `pulls` printings that each lose `lossShare` (0 … under 1)
 * of them: ⌈wanted ÷ (1 − s)ⁿ⌉.
 */
export const startSheets = (wanted: number, pulls: number, lossShare: number): number =>
  // a whole number must not be lifted by the rounding of the power
  Math.ceil(wanted / (1 - lossShare) ** pulls - 1e-9);
