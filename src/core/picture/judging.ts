/** Tones are counted by their first byte. */
export const BINS = 256;

/** Paper and ink of a scan are not the ends of the scale: so far from their usual tone, in 1/256, they still count. */
export const NEAR_PAPER = 24;
/** The same of solids. */
export const NEAR_SOLID = 32;

/** A ramp changes by so much within three pixels to either side, from paper or to a solid: less is shading. */
export const RAMP = 72 << 8;
/** By so much it is a ramp even where blur has left neither paper nor solid. */
export const STEEP = 112 << 8;
/** So far to either side. */
export const REACH_PX = 3;

/** Within three pixels to either side a flat field stays within so much: the noise of a JPEG or of a scan's tint. */
export const FLAT = 12 << 8;

/** No tone is less, as tiles have them. */
export const LEAST_TONE = -0x8000;
/** No tone is more. */
export const MOST_TONE = 0x7fff;

/** Every second pixel of every second row is judged: a quarter of the work, and much the same shares. */
export const STRIDE = 2;
