import type { PictureLoops } from './loops.ts';
import { openLoops } from './open-loops.ts';
import { powerSpectrum } from './spectrum.ts';
import { TILE_PX, type Tile } from './tiles.ts';
import { fineEnergy, type Wave, wavesOf } from './waves.ts';

/** The square lattice of a halftone. */
export interface Lattice {
  /** Cycles per pixel of the picture: times its ppi the ruling in lpi. */
  readonly rulingPerPx: number;
  /** 0 … 90, counter-clockwise as the picture is seen; a square lattice repeats after a quarter turn. */
  readonly angleDeg: number;
  /** Share of all that is finer than 64 pixels which lies in the lattice's two waves, 0 … 1. */
  readonly strength: number;
  /** Amplitude of the weaker wave, a share of the whole scale of tone. */
  readonly amplitude: number;
}

/**
 * From here on it is a halftone. Measured on screens of 3 to 14 pixels over eleven photographs: blurred by a quarter of their period
 * strength 0.115 to 0.9, amplitude 0.049 and up; blurred by 0.35 of it 0.025 to 0.3 and 0.017. Photographs, drawings and dithers
 * without a lattice: strength 0.005 at most. The blocks of JPEGs (quality 1 to 30) over smooth shades: amplitude 0.005 at most.
 */
const LEAST_STRENGTH = 0.02;
const LEAST_AMPLITUDE = 0.008;

/** Periods told of, in pixels: above twenty the eye sees dots one by one. */
const LONGEST_PX = 22;
/** Below so many pixels either way there are too few dots to speak of a lattice. */
const LEAST_SIDE_PX = 64;

/** A Hann window spreads a wave over two bins to each side. */
const LOBE = 2;
/** So many of the strongest waves are tried for a partner. */
const TRIED = 24;
/** Sides and angles of a lattice may differ by so much, in length and across: a scanner's rows are not its columns. */
const UNSQUARE = 0.03;

/**
 * Looks for the two waves, at right angles and of one length, that a square halftone is made of. `strength` is twice the
 * weaker one's share, so hatching, which is one wave, has next to none. Null where nothing stands out. Ruled grids, woven cloth
 * and mechanical cross-hatching all over a picture are lattices too, and are not told apart.
 */
export function findLattice(tiles: readonly Tile[], loops: PictureLoops = openLoops()): Lattice | null {
  const [tile] = tiles;
  if (!tile || Math.min(tile.widthPx, tile.heightPx) < LEAST_SIDE_PX) return null;
  const spectrum = powerSpectrum(tiles, loops.openSpectrum(tile));
  if (!spectrum) return null;
  const lobe = Math.ceil((LOBE * TILE_PX) / Math.min(tile.widthPx, tile.heightPx));
  const waves = wavesOf(spectrum, lobe);
  const all = fineEnergy(spectrum);
  let best: Lattice | null = null;
  for (const wave of waves.slice(0, TRIED)) {
    const partner = partnerOf(wave, waves, lobe);
    if (!partner) continue;
    // half the plane is searched, and every wave has its like in the other half
    const weaker = Math.min(wave.energy, partner.energy);
    const strength = (4 * weaker) / all;
    if (best && strength <= best.strength) continue;
    best = { ...squareOf(wave, partner), strength, amplitude: Math.sqrt(weaker) };
  }
  if (!best || best.strength < LEAST_STRENGTH || best.amplitude < LEAST_AMPLITUDE) return null;
  return best.rulingPerPx * LONGEST_PX >= 1 ? best : null;
}

/** The strongest wave a quarter turn away from this one, in either half of the plane. */
function partnerOf(wave: Wave, waves: readonly Wave[], lobe: number): Wave | null {
  const slack = Math.max(lobe / 2, UNSQUARE * Math.hypot(wave.u, wave.v));
  for (const other of waves)
    for (const sign of [1, -1])
      if (Math.hypot(sign * other.u + wave.v, sign * other.v - wave.u) <= slack)
        return { u: sign * other.u, v: sign * other.v, energy: other.energy };
  return null;
}

/** Ruling and angle of a wave and the one a quarter turn on; v runs down, angles are counted upwards. */
function squareOf(a: Wave, b: Wave): Pick<Lattice, 'rulingPerPx' | 'angleDeg'> {
  const u = (a.u + b.v) / 2;
  const v = (a.v - b.u) / 2;
  const turned = (Math.atan2(-v, u) * 180) / Math.PI;
  return { rulingPerPx: Math.hypot(u, v) / TILE_PX, angleDeg: ((turned % 90) + 90) % 90 };
}
