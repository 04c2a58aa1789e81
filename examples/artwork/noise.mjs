/** Chance that is always the same: a value for every lattice point, smoothed between them. */
const lattice = (x, y, seed) => {
  let h = Math.imul(x, 0x27d4eb2d) ^ Math.imul(y, 0x165667b1) ^ Math.imul(seed + 1, 0x9e3779b9);
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return ((h ^ (h >>> 16)) >>> 0) / 0x100000000;
};

const ease = (t) => t * t * (3 - 2 * t);

/** Smooth noise, 0…1. */
export function noise(x, y, seed) {
  const ix = Math.floor(x);
  const iy = Math.floor(y);
  const tx = ease(x - ix);
  const ty = ease(y - iy);
  const above = lattice(ix, iy, seed) * (1 - tx) + lattice(ix + 1, iy, seed) * tx;
  const below = lattice(ix, iy + 1, seed) * (1 - tx) + lattice(ix + 1, iy + 1, seed) * tx;
  return above * (1 - ty) + below * ty;
}

/** Noise of several sizes on top of each other, 0…1. */
export function clouds(x, y, seed, octaves = 5) {
  let sum = 0;
  let weight = 0;
  for (let i = 0, scale = 1, share = 1; i < octaves; i++, scale *= 2.03, share /= 2) {
    sum += share * noise(x * scale + i * 17.3, y * scale - i * 9.1, seed + i);
    weight += share;
  }
  return sum / weight;
}

/** A stream of numbers 0…1. */
export function stream(seed) {
  let at = 0;
  return () => lattice(at++, 7, seed);
}

export const clamp = (value, low = 0, high = 1) => Math.min(high, Math.max(low, value));

/** 0 below `from`, 1 above `to`, smooth between; works downwards too. */
export const ramp = (from, to, value) => ease(clamp((value - from) / (to - from)));

export const mix = (a, b, share) => a + (b - a) * share;
