import { expect, test } from 'vitest';
import { simulatedScan } from '../../examples/simulated-scan.mjs';
import { fitCurve } from '../../src/core/calibration/fit.ts';
import { through } from '../../src/core/calibration/homography.ts';
import { readProof } from '../../src/core/calibration/read-proof.ts';
import { greyScan } from '../../src/core/calibration/scan.ts';
import { anyPrint, gained, misses, proofOf } from './proofs.ts';
import { smallPlate } from './small-plate.ts';

// More seeds, at 300 to 600 ppi: tests/reference/calibration.test.ts
const SEEDS = [1, 2, 3, 4, 5, 6, 7, 8];

test.each(SEEDS)(
  'print %d: its marks are found to a fifth of a pixel, its curve to 1 point of coverage',
  (seed) => {
    const layout = smallPlate(seed % 2 ? 'intaglio' : 'relief');
    const print = { ...anyPrint(seed), ppi: 300, marginMm: 10 };
    const { codes, widthPx, heightPx, toScan } = simulatedScan(layout, print);
    const proof = readProof(greyScan(codes, widthPx, heightPx), layout);

    expect(proof.found.mirrored).toBe(print.mirrored);
    layout.fiducials.forEach(({ xMm, yMm }, i) => {
      const [x, y] = through(toScan, xMm, yMm);
      const [gotX, gotY] = proof.found.fiducialsPx[i]!;
      expect(Math.hypot(gotX - x, gotY - y)).toBeLessThan(0.2);
    });
    const { knots, whiteDensity, solidDensity } = fitCurve([proof]);
    const { worst, rms } = misses(knots, print.gain);
    expect(worst).toBeLessThan(1);
    expect(rms).toBeLessThan(0.5);
    expect(Math.abs(whiteDensity - print.plateToneDensity)).toBeLessThan(0.01);
    expect(Math.abs(solidDensity - print.solidDensity)).toBeLessThan(0.03);
  },
);

test('three proofs are averaged', () => {
  const layout = smallPlate('intaglio');
  const proofs = [1, 2, 3].map((seed) =>
    proofOf(layout, { ppi: 300, seed, noise: 0.01, dust: 200, gain: gained(0.1 + 0.004 * seed) }),
  );
  expect(misses(fitCurve(proofs).knots, gained(0.108)).worst).toBeLessThan(1);
});

test('a plate whose darkest tones wipe out again is held at its darkest', () => {
  const layout = smallPlate('intaglio');
  // 85 % prints darkest; solid keeps four fifths of it
  const gain = (share: number) => (share <= 0.85 ? share / 0.85 : 1 - (share - 0.85) * (0.2 / 0.15));
  const { knots, capPercent, solidDensity } = fitCurve([proofOf(layout, { ppi: 300, gain })]);
  expect(knots.filter(({ share }) => share > 0.85).every(({ printed }) => printed > 0.99)).toBe(true);
  expect(capPercent).toBeGreaterThan(80);
  expect(capPercent).toBeLessThanOrEqual(85);
  expect(solidDensity).toBeCloseTo(1.35, 1);
});

test('cap and floor are where 95 % of the range and 0.03 of density are reached', () => {
  const layout = smallPlate('intaglio');
  const { capPercent, floorPercent } = fitCurve([proofOf(layout, { ppi: 300 })]);
  // Murray–Davies with white 0.04 and solid 1.35: 0.95 · 1.31 is 1 − 10^−1.2445 = 0.9431 of 1 − 10^−1.31 = 0.9510
  expect(capPercent).toBeGreaterThan(98.4);
  expect(capPercent).toBeLessThan(99.4);
  // 1 − 10^−0.03 = 0.0667 of 0.9510
  expect(floorPercent).toBeGreaterThan(6.5);
  expect(floorPercent).toBeLessThan(7.6);
});
