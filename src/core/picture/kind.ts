import type { ToneSource } from '../resample/index.ts';
import { findLattice, type Lattice } from './lattice.ts';
import { openLoops } from './open-loops.ts';
import { type ToneShares, toneShares } from './shares.ts';
import { speckShare } from './specks.ts';
import { readTiles } from './tiles.ts';

/** What kind of picture it is, and the figures that say so. */
export interface PictureKind extends ToneShares {
  /**
   * `line-art`: paper and solids with narrow ramps between. `tint`: that, and flat fields of few tones. `tone`: shaded, as
   * photographs are. `screened`: a halftone or a dither already. `flat`: one grey all over. `solid`: nothing but paper, or nothing but ink.
   */
  readonly kind: 'line-art' | 'tint' | 'tone' | 'screened' | 'flat' | 'solid';
  /** Every pixel looked at had one of two tones. Of a large picture not every pixel is looked at. */
  readonly twoLevel: boolean;
  /** The lattice of a halftone; null where there is none, which a dither may be all the same. */
  readonly screen: Lattice | null;
  /** Specks of a two-level picture against the rarer of its two sides; 0 where there are more than two tones. */
  readonly specks: number;
}

/**
 * A two-level picture with so many specks is dithered. Measured: eleven photographs in error diffusion 0.27 to 0.43, white noise 0.18;
 * the same photographs cut at one level 0.11 at most, drawings 0.01.
 */
const DITHERED = 0.15;

/**
 * Line art has light paper, dark ink and little between: drawings and scans of them 0 to 0.022 (0.048 for one reduced
 * until its lines are a pixel wide, 0.1 and up where such a one is blurred besides), photographs with such ends 0.07 to 0.57.
 */
const LIGHTEST_PAPER = 0.25;
const LEAST_SOLID = 0.55;
const MOST_MID = 0.05;
/** Where half of all is ramp, lines lie closer than pixels: a zone plate has 0.55, the densest drawing tried 0.43. */
const MOST_RAMP = 0.5;

/**
 * Tints are flat and few, and what is not flat is line art: drawings with tints 0.77 and 0.99 or more, photographs at most 0.63 and 0.62,
 * or 0.57 and 0.91.
 */
const LEAST_TINT = 0.005;
const TINT_FLAT = 0.7;
const TINT_FEW = 0.8;

/** One tone all over, but for the noise of a JPEG; and so near to an end of the scale it is paper, or ink. */
const ONE_TONE = 12 / 255;
const AT_AN_END = 24 / 255;

/** The kind of a picture that is all of one tone; null for any other. Pale paper is only that as long as not all was seen. */
function flatKind({ lightestTone, darkestTone }: ToneShares, whole: boolean): PictureKind['kind'] | null {
  if (darkestTone - lightestTone > ONE_TONE) return null;
  if (darkestTone <= AT_AN_END || lightestTone >= 1 - AT_AN_END) return 'solid';
  return whole || lightestTone > LIGHTEST_PAPER ? 'flat' : null;
}

function kindOf(shares: ToneShares, screened: boolean): PictureKind['kind'] {
  const { midShare, rampShare, paperTone, solidTone, flatOfMid, fewTones } = shares;
  if (screened) return 'screened';
  const flat = midShare * flatOfMid;
  const tinted = flat >= LEAST_TINT && flatOfMid >= TINT_FLAT && fewTones >= TINT_FEW;
  if (tinted && midShare - flat <= MOST_MID) return 'tint';
  const twoEnds = paperTone <= LIGHTEST_PAPER && solidTone >= LEAST_SOLID;
  return twoEnds && midShare <= MOST_MID && rampShare <= MOST_RAMP ? 'line-art' : 'tone';
}

/** Looks at 4.2 million pixels of a picture at most and tells what kind it is. Tones as the source has them, before any change. */
export function measurePicture(source: ToneSource): PictureKind {
  const { tiles, whole, twoLevel } = readTiles(source);
  const loops = openLoops();
  const shares = toneShares(tiles, loops.shares);
  const screen = findLattice(tiles, loops);
  const specks = twoLevel ? speckShare(tiles, loops) : 0;
  const kind = flatKind(shares, whole) ?? kindOf(shares, screen !== null || specks >= DITHERED);
  return { kind, ...shares, twoLevel, screen, specks };
}
