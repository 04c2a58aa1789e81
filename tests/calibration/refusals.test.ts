import { expect, test } from 'vitest';
import { fitCurve } from '../../src/core/calibration/fit.ts';
import { readProof } from '../../src/core/calibration/read-proof.ts';
import { findRuler } from '../../src/core/calibration/ruler.ts';
import { type GreyScan, greyScan } from '../../src/core/calibration/scan.ts';
import { gained, proofOf, refusal, scanOf } from './proofs.ts';
import { smallPlate } from './small-plate.ts';

const layout = smallPlate('intaglio');
const usual = { ppi: 300, gain: gained(0.1) };

const readScan = (scan: GreyScan) => readProof(scan, layout);
const plain = scanOf(layout, usual);

test('a scan stretched by automatic contrast', () =>
  expect(refusal(() => proofOf(layout, { ...usual, autoContrast: true }))).toBe('scan-clipped'));

test('a scan of 200 ppi', () =>
  expect(refusal(() => proofOf(layout, { ...usual, ppi: 200 }))).toBe('scan-too-coarse'));

test('a plate with patches of 2 mm at 300 ppi', () => {
  const patches = layout.patches.map((patch) => ({ ...patch, widthMm: 2, heightMm: 2 }));
  expect(refusal(() => proofOf({ ...layout, patches }, usual))).toBe('patches-too-small');
});

test('another plate: same corners, other tones', () => {
  const shares = layout.patches.map(({ share }) => share).reverse();
  const other = { ...layout, patches: layout.patches.map((patch, i) => ({ ...patch, share: shares[i]! })) };
  expect(refusal(() => readProof(plain, other))).toBe('other-plate');
});

test('another plate: same tones, patches a millimetre off', () => {
  const patches = layout.patches.map((patch) => ({ ...patch, yMm: patch.yMm + 0.8 }));
  expect(refusal(() => readProof(plain, { ...layout, patches }))).toBe('other-plate');
});

test('paper without a plate, and a plate without its marks', () => {
  const blank = greyScan(new Uint8Array(600 * 400).fill(230), 600, 400);
  expect(refusal(() => readScan(blank))).toBe('no-fiducials');
  const bare = { ...layout, fiducials: layout.fiducials.map((mark) => ({ ...mark, diameterMm: 0.2 })) };
  expect(refusal(() => readScan(scanOf(bare, usual)))).toBe('no-fiducials');
});

test('a plate scanned to its edge', () =>
  expect(refusal(() => proofOf(layout, { ...usual, marginMm: 1 }))).toBe('no-paper'));

test('a plate wiped harder at one end', () =>
  expect(refusal(() => fitCurve([proofOf(layout, { ...usual, wipingDensity: 0.5 })]))).toBe('uneven-wiping'));

test('proofs that disagree', () => {
  const proofs = [usual, { ...usual, solidDensity: 1.2, gain: gained(0.2) }].map((print) =>
    proofOf(layout, print),
  );
  expect(refusal(() => fitCurve(proofs))).toBe('proofs-disagree');
});

test('a plate that was hardly inked', () =>
  expect(refusal(() => fitCurve([proofOf(layout, { ...usual, solidDensity: 0.2 })]))).not.toBe(''));

test('a ruler that is not there', () => {
  expect(refusal(() => findRuler(plain, layout, readScan(plain).found, 100))).toBe('no-ruler');
});
