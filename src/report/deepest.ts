/** More of a sheet than that should not be cut away anywhere, or it bends and breaks; from memory. */
const DEEPEST_SHARE = 0.67;

/** Deepest that a sheet of so many mm is to be cut, in mm. */
export const deepestMm = (thicknessMm: number): number => DEEPEST_SHARE * thicknessMm;
