import { LAB_KNEE, LAB_SLOPE, labInto, xyzShares } from '../../colour/lab.ts';
import type { Light } from '../../proof/colour.ts';
import { type Ink, overprints } from '../../proof/overprint.ts';

/** Colours of a set of inks where they cover these shares, by Demichel and Neugebauer. */
export interface InkModel {
  readonly inks: number;
  /** Red, green and blue light for coverages 0 … 1, into `light`. */
  lightOf(cover: Float64Array, light: Float64Array): void;
  /** L*, a*, b* into `lab`, and what one unit more of each ink does to them into `slopes`: L*, a*, b* ink by ink. */
  labOf(cover: Float64Array, lab: Float64Array, slopes: Float64Array): void;
}

/** The paper's light in no channel less, where light is told in shares of it. */
const DARKEST_PAPER = 1e-3;

/**
 * Opens the model of inks in printing order. `toPaper`: light is told in shares of the paper's, as an eye sees it that has
 * taken the sheet for white; otherwise in shares of sRGB's white.
 */
export function openModel(paper: Light, inks: readonly Ink[], toPaper: boolean): InkModel {
  const n = inks.length;
  const unit = paper.map((channel) => (toPaper ? Math.max(DARKEST_PAPER, channel) : 1));
  const primaries = Float64Array.from(
    overprints(paper, inks).flatMap((colour) => colour.map((channel, i) => channel / unit[i]!)),
  );
  // what is left after each ink from the last: after ink k there are 3 · 2ᵏ numbers, and they begin there
  const folded = new Float64Array(primaries.length);
  const ends = new Float64Array(primaries.length);
  const end = new Float64Array(3);
  const now = new Float64Array(3);

  /** Mean of the primaries, one ink after the other, the last first: each halves what is left. */
  function lightOf(cover: Float64Array, light: Float64Array): void {
    for (let ink = n - 1; ink >= 0; ink--)
      fold(ink === n - 1 ? primaries : folded, ink === n - 1 ? 0 : 6 << ink, 3 << ink, cover[ink]!, folded);
    light[0] = folded[3]!;
    light[1] = folded[4]!;
    light[2] = folded[5]!;
  }

  /** The same with all of one ink or none, after `lightOf`: what the inks after it have left is still there. */
  function lightAtEnd(cover: Float64Array, ink: number, share: number, light: Float64Array): void {
    fold(ink === n - 1 ? primaries : folded, ink === n - 1 ? 0 : 6 << ink, 3 << ink, share, ends);
    for (let k = ink - 1; k >= 0; k--) fold(ends, 6 << k, 3 << k, cover[k]!, ends);
    light[0] = ends[3]!;
    light[1] = ends[4]!;
    light[2] = ends[5]!;
  }

  function labOf(cover: Float64Array, lab: Float64Array, slopes: Float64Array): void {
    const m = xyzShares;
    lightOf(cover, now);
    const [red, green, blue] = [now[0]!, now[1]!, now[2]!];
    labInto(red, green, blue, lab);
    const atX = slopeAt(m[0]! * red + m[1]! * green + m[2]! * blue);
    const atY = slopeAt(m[3]! * red + m[4]! * green + m[5]! * blue);
    const atZ = slopeAt(m[6]! * red + m[7]! * green + m[8]! * blue);
    for (let ink = 0; ink < n; ink++) {
      // light is a straight line in each coverage alone: its slope from here to the farther end
      const share = cover[ink]!;
      lightAtEnd(cover, ink, share < 0.5 ? 1 : 0, end);
      const run = share < 0.5 ? 1 - share : -share;
      const dr = (end[0]! - red) / run;
      const dg = (end[1]! - green) / run;
      const db = (end[2]! - blue) / run;
      const dx = atX * (m[0]! * dr + m[1]! * dg + m[2]! * db);
      const dy = atY * (m[3]! * dr + m[4]! * dg + m[5]! * db);
      const dz = atZ * (m[6]! * dr + m[7]! * dg + m[8]! * db);
      slopes[3 * ink] = 116 * dy;
      slopes[3 * ink + 1] = 500 * (dx - dy);
      slopes[3 * ink + 2] = 200 * (dy - dz);
    }
  }

  return { inks: n, lightOf, labOf };
}

/** One ink of this share: the halves of what stands at `at` become one, at `half` of `into`. */
function fold(from: Float64Array, at: number, half: number, share: number, into: Float64Array): void {
  for (let k = 0; k < half; k++)
    into[half + k] = from[at + k]! + share * (from[at + half + k]! - from[at + k]!);
}

/** Slope of the bent scale of L*, a*, b*. */
function slopeAt(t: number): number {
  if (t <= LAB_KNEE) return LAB_SLOPE;
  const root = Math.cbrt(t);
  return 1 / (3 * root * root);
}
