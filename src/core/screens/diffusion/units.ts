/** Kernels with the same weights for every tone keep error in 1/256 of a tone step: rounding cannot move a dot. */
export const UNIT_BITS = 8;

/** Larger than any error carried; added to a limit, it keeps paper free of dots and solids free of holes. */
export const NEVER = 1 << 29;
