/** Most passes that can be asked for. */
export const MOST_PASSES = 1000;

/** Passes that reach a depth; a depth that is a whole number of passes needs no extra one for rounding. */
export const passesFor = (depthMm: number, depthPerPassMm: number): number =>
  Math.max(1, Math.ceil(depthMm / depthPerPassMm - 1e-9));
