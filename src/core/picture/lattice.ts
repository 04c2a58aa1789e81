import { powerSpectrum } from './spectrum.ts';
import { TILE_PX, type Tile } from './tiles.ts';

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

/** Periods looked for, in pixels: below three a scan holds no dots, above twenty the eye sees them one by one. */
const SHORTEST_PX = 2.8;
const LONGEST_PX = 22;
/** Coarser ones are looked at too: a pattern of 50 pixels has waves of 16 among its own. */
const COARSEST_PX = 64;
/** Below so many pixels either way there are too few dots to speak of a lattice. */
const LEAST_SIDE_PX = 64;

/** A Hann window spreads a wave over two bins to each side. */
const LOBE = 2;
/** A wave stands out from the mean of the bins round it, up to so far away, by at least so much. */
const ROUND = 10;
const STANDS_OUT = 12;
/** So many of the strongest waves are tried for a partner. */
const TRIED = 24;
/** Sides and angles of a lattice may differ by so much, in length and across: a scanner's rows are not its columns. */
const UNSQUARE = 0.03;

interface Wave {
  readonly u: number;
  readonly v: number;
  readonly energy: number;
}

/**
 * Looks for the two waves, at right angles and of one length, that a square halftone is made of. `strength` is twice the
 * weaker one's share, so hatching, which is one wave, has next to none. Null where nothing stands out. Ruled grids, woven cloth
 * and mechanical cross-hatching all over a picture are lattices too, and are not told apart.
 */
export function findLattice(tiles: readonly Tile[]): Lattice | null {
  const [tile] = tiles;
  if (!tile || Math.min(tile.widthPx, tile.heightPx) < LEAST_SIDE_PX) return null;
  const power = powerSpectrum(tiles);
  if (!power) return null;
  const lobe = Math.ceil((LOBE * TILE_PX) / Math.min(tile.widthPx, tile.heightPx));
  const waves = wavesOf(power, lobe);
  const all = fineEnergy(power);
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

/** Signed frequency, in bins, of index k. */
const signed = (k: number): number => (k < TILE_PX / 2 ? k : k - TILE_PX);
const at = (u: number, v: number): number => (v & (TILE_PX - 1)) * TILE_PX + (u & (TILE_PX - 1));

/** All that is finer than the longest period. */
function fineEnergy(power: Float64Array): number {
  let sum = 0;
  const least = (TILE_PX / COARSEST_PX) ** 2;
  for (let v = 0; v < TILE_PX; v++) {
    const down = signed(v) * signed(v);
    for (let u = 0; u < TILE_PX; u++)
      if (signed(u) * signed(u) + down >= least) sum += power[v * TILE_PX + u]!;
  }
  return sum;
}

/** Waves that stand out from what is round them, strongest first, from the half plane v > 0 or v = 0, u > 0. */
function wavesOf(power: Float64Array, lobe: number): Wave[] {
  const waves: Wave[] = [];
  const most = Math.ceil(TILE_PX / SHORTEST_PX);
  const shortest = (TILE_PX / COARSEST_PX) ** 2;
  const longest = (TILE_PX / SHORTEST_PX) ** 2;
  for (let v = 0; v <= most; v++)
    for (let u = v === 0 ? 1 : -most; u <= most; u++) {
      const square = u * u + v * v;
      if (square < shortest || square > longest) continue;
      if (isPeak(power, u, v)) addWave(power, u, v, lobe, waves);
    }
  return waves.sort((a, b) => b.energy - a.energy);
}

function isPeak(power: Float64Array, u: number, v: number): boolean {
  const here = power[at(u, v)]!;
  for (let dv = -1; dv <= 1; dv++)
    for (let du = -1; du <= 1; du++) {
      const near = power[at(u + du, v + dv)]!;
      if (near > here || (near === here && (dv < 0 || (dv === 0 && du < 0)))) return false;
    }
  return true;
}

/** Puts down a wave with its energy above what is round it and its centre of gravity, if it stands out. */
function addWave(power: Float64Array, u: number, v: number, lobe: number, waves: Wave[]): void {
  const reach = lobe + ROUND;
  const bins = (2 * reach + 1) ** 2 - (2 * lobe + 1) ** 2;
  const most = power[at(u, v)]!;
  let round = 0;
  let energy = 0;
  let atU = 0;
  let atV = 0;
  for (let dv = -reach; dv <= reach; dv++) {
    const isNear = Math.abs(dv) <= lobe;
    for (let du = -reach; du <= reach; du++) {
      const near = power[at(u + du, v + dv)]!;
      if (isNear && du >= -lobe && du <= lobe) {
        energy += near;
        atU += near * du;
        atV += near * dv;
      } else round += near;
    }
    // most peaks are noise, which the first rows tell
    if (most < (STANDS_OUT * round) / bins) return;
  }
  waves.push({ u: u + atU / energy, v: v + atV / energy, energy });
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
