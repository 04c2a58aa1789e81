/**
 * Mixes two 32-bit integers to one, after Sebastiano Vigna's splitmix (public domain; finaliser constants of MurmurHash3
 * by Austin Appleby, public domain; from memory).
 */
function mix(a: number, b: number): number {
  let h = (a ^ Math.imul(b + 0x9e3779b9, 0x85ebca6b)) >>> 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

/**
 * Random numbers that depend only on what they are for: the same seed, plate and row (whole numbers, of which the lower 32
 * bits count) give the same stream, whatever the order in which rows are made. Each call of what is returned gives the next,
 * a whole number 0 … 2³² − 1.
 */
export function rowStream(seed: number, plate: number, row: number): () => number {
  let state = mix(mix(mix(0x2545f491, seed), plate), row);
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    return mix(state, 0x1b873593);
  };
}
