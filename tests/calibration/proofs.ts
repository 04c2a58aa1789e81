import { dice, type SimulatedScanOptions, simulatedScan } from '../../examples/simulated-scan.mjs';
import { type ProofReading, readProof } from '../../src/core/calibration/read-proof.ts';
import { type GreyScan, greyScan } from '../../src/core/calibration/scan.ts';
import { EtchError } from '../../src/core/errors.ts';
import type { TestPlateLayout } from '../../src/core/testplate/layout.ts';

export type Printed = Partial<SimulatedScanOptions>;

/** Tones that print darker than they are, as under a spread of the dots: a + 4 · gain · a (1 − a), never falling. */
export const gained = (gain: number) => (share: number) => share + 4 * gain * share * (1 - share);

/** A print and its scan, at random within what a careful person may bring; the same for the same seed. */
export function anyPrint(
  seed: number,
): Printed & Pick<SimulatedScanOptions, 'gain' | 'plateToneDensity' | 'solidDensity'> {
  const roll = dice(seed * 7919 + 1);
  const between = (from: number, to: number) => from + roll() * (to - from);
  return {
    seed,
    ppi: [300, 400, 600][Math.floor(roll() * 3)]!,
    angleDeg: 90 * Math.floor(roll() * 4) + between(-8, 8),
    mirrored: roll() < 0.3,
    perspective: { x: between(-0.03, 0.03), y: between(-0.03, 0.03) },
    gain: gained(between(-0.1, 0.25)),
    solidDensity: between(1, 1.6),
    plateToneDensity: between(0, 0.1),
    growthMm: between(-0.02, 0.06),
    paperLight: between(0.7, 0.9),
    unevenDensity: between(0, 0.3),
    blurPx: between(0.4, 1.2),
    noise: between(0.001, 0.006),
    dust: Math.floor(between(0, 150)),
    depthBits: roll() < 0.5 ? 8 : 16,
  };
}

export function scanOf(layout: TestPlateLayout, print: Printed): GreyScan {
  const { codes, widthPx, heightPx } = simulatedScan(layout, print);
  return greyScan(codes, widthPx, heightPx);
}

export const proofOf = (layout: TestPlateLayout, print: Printed): ProofReading =>
  readProof(scanOf(layout, print), layout);

/** How far a curve's tones lie from the truth: worst and root of the mean square, in points of coverage. */
export function misses(
  knots: readonly { readonly share: number; readonly printed: number }[],
  gain: (share: number) => number,
): { worst: number; rms: number } {
  const offs = knots.map(({ share, printed }) => (printed - gain(share)) * 100);
  return {
    worst: Math.max(...offs.map(Math.abs)),
    rms: Math.sqrt(offs.reduce((sum, off) => sum + off * off, 0) / offs.length),
  };
}

/** The code of the refusal that work ends in; fails where it does not. */
export function refusal(work: () => unknown): string {
  try {
    work();
  } catch (fault) {
    if (fault instanceof EtchError && fault.kind === 'refused') return fault.code;
    throw fault;
  }
  throw new Error('nothing was refused');
}
