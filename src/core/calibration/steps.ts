import { EtchError } from '../errors.ts';
import { mean } from '../mean.ts';
import { densityOf } from './density.ts';
import type { ProofReading } from './read-proof.ts';
import type { PatchReading } from './sample.ts';

/** All that proofs say of one ink tone. */
export interface Step {
  /** Ink tone asked for, 0 … 1. */
  readonly share: number;
  /** Mean density above bare paper. */
  readonly density: number;
  /** Standard error of that mean, from how far the readings lie apart. */
  readonly sigma: number;
  readonly readings: number;
}

/** Zones whose patches make the curve; all have the plate's own screen. */
const CURVE_ZONES: ReadonlySet<string> = new Set(['wedge', 'wedge-scrambled', 'solids']);

/** Most difference of density between the two wedges of a proof, and between proofs (common practice). */
const MOST = { uneven: 0.08, apart: 0.05 } as const;

/** So many steps over the limit are a fault of the print; fewer are spoilt patches. */
const LEAST_STEPS = 3;

/** Least standard error, in density: what a scanner itself is uncertain by within one scan. */
const LEAST_SIGMA = 0.002;

function byShare(patches: readonly PatchReading[]): Map<number, PatchReading[]> {
  const groups = new Map<number, PatchReading[]>();
  for (const patch of patches) {
    const group = groups.get(patch.share);
    if (group) group.push(patch);
    else groups.set(patch.share, [patch]);
  }
  return groups;
}

const ofZone = (proof: ProofReading, zone: PatchReading['zone']): Map<number, number> =>
  new Map(
    [...byShare(proof.patches.filter((patch) => patch.zone === zone))].map(([share, patches]) => [
      share,
      mean(patches.map(({ density }) => density)),
    ]),
  );

/** Steps whose density differs by more than a limit between two wedges, and the widest difference. */
function apart(
  a: Map<number, number>,
  b: Map<number, number>,
  limit: number,
): { count: number; most: number } {
  const offs = [...a]
    .filter(([share]) => b.has(share))
    .map(([share, density]) => Math.abs(density - b.get(share)!));
  return { count: offs.filter((off) => off > limit).length, most: Math.max(0, ...offs) };
}

/** Something read all the same that people should look at. */
export interface ReadingWarning {
  readonly code: string;
  readonly text: string;
}

/** Patches that were averaged though they differ by more than they should. */
const spoilt = (code: string, where: string, count: number, most: number, limit: number): ReadingWarning => ({
  code,
  text: `${where} differ on ${count === 1 ? 'one step' : `${count} steps`} by up to ${most.toFixed(2)} in density, more than ${limit}; the mean was taken. Look for dust, a fingerprint or a badly wiped place there`,
});

/**
 * Warnings of single patches that differ. EtchError `refused`: `uneven-wiping` where the two wedges of a proof differ on
 * several steps, `proofs-disagree` where proofs do.
 */
export function agreeing(proofs: readonly ProofReading[]): ReadingWarning[] {
  const warnings: ReadingWarning[] = [];
  const wedges = proofs.map((proof) => [ofZone(proof, 'wedge'), ofZone(proof, 'wedge-scrambled')] as const);
  wedges.forEach(([a, b], i) => {
    const { count, most } = apart(a, b, MOST.uneven);
    if (count >= LEAST_STEPS) throw uneven(i + 1, most, count);
    const where = `The two wedges of proof ${i + 1}`;
    if (count > 0) warnings.push(spoilt('uneven-patches', where, count, most, MOST.uneven));
  });
  const means = wedges.map(
    ([a, b]) => new Map([...a].map(([share, density]) => [share, mean([density, b.get(share) ?? density])])),
  );
  means.forEach((one, i) => {
    means.slice(0, i).forEach((other, j) => {
      const { count, most } = apart(one, other, MOST.apart);
      if (count >= LEAST_STEPS) throw disagreeing(j + 1, i + 1, most, count);
      const where = `Proofs ${j + 1} and ${i + 1}`;
      if (count > 0) warnings.push(spoilt('patches-disagree', where, count, most, MOST.apart));
    });
  });
  return warnings;
}

/**
 * The tones of proofs of one plate, lightest first, each the mean of all its patches.
 */
export function stepsOf(proofs: readonly ProofReading[]): Step[] {
  const groups = [
    ...byShare(proofs.flatMap(({ patches }) => patches.filter(({ zone }) => CURVE_ZONES.has(zone)))),
  ]
    .sort(([a], [b]) => a - b)
    .map(([share, patches]) => {
      // The mean of light, not of densities: it is light that noise is even in
      const light = mean(patches.map(({ reflectance }) => reflectance));
      const squares = patches.reduce((sum, { reflectance }) => sum + (reflectance - light) ** 2, 0);
      return { share, light, squares, readings: patches.length };
    });
  const freedom = groups.reduce((sum, { readings }) => sum + readings - 1, 0);
  const pooled = groups.reduce((sum, { squares }) => sum + squares, 0) / Math.max(1, freedom);
  return groups.map(({ share, light, squares, readings }) => {
    // Two to a few readings say little of their own spread, so half of what is believed is that of all steps
    const variance = readings > 1 ? (squares / (readings - 1) + pooled) / 2 : pooled;
    const density = densityOf(light);
    // The slope of −log10
    const sigma = Math.max(LEAST_SIGMA, Math.sqrt(variance / readings) / (Math.LN10 * light));
    return { share, density, sigma, readings };
  });
}

const uneven = (proof: number, most: number, count: number): EtchError =>
  new EtchError(
    'refused',
    'uneven-wiping',
    `Reading proof ${proof}: its two wedges differ by up to ${most.toFixed(2)} in density, on ${count} steps by more than ${MOST.uneven}; this is a matter of wiping, inking or pressure, not a curve`,
    'Pull the proof again, wiped and pressed evenly over the whole plate.',
  );

const disagreeing = (a: number, b: number, most: number, count: number): EtchError =>
  new EtchError(
    'refused',
    'proofs-disagree',
    `Reading proofs ${a} and ${b}: they differ by up to ${most.toFixed(2)} in density, on ${count} steps by more than ${MOST.apart}`,
    'Use proofs from the third pull on, all inked and wiped alike; leave out the one that differs.',
  );
