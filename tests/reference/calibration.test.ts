import { expect, test } from 'vitest';
import { fitCurve } from '../../src/core/calibration/fit.ts';
import { anyPrint, misses, proofOf } from '../calibration/proofs.ts';
import { smallPlate } from '../calibration/small-plate.ts';

const PRINTS = 50;

test(`${PRINTS} prints at random, 300 to 600 ppi: none refused, every curve within 1 point of coverage`, () => {
  for (let seed = 1; seed <= PRINTS; seed++) {
    const print = anyPrint(seed);
    const proof = proofOf(smallPlate(seed % 2 ? 'intaglio' : 'relief'), print);
    const { worst, rms } = misses(fitCurve([proof]).knots, print.gain);
    expect([seed, worst < 1, rms < 0.5]).toEqual([seed, true, true]);
  }
}, 1_200_000);
