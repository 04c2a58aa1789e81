import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Light } from '../../../src/core/proof/colour.ts';
import { neugebauer, overprints } from '../../../src/core/proof/overprint.ts';
import { rowStream } from '../../../src/core/rng.ts';
import { openLattice, openPlainLattice } from '../../../src/core/separations/inks/lattice.ts';
import { SIDE } from '../../../src/core/separations/inks/lattice-places.ts';
import { openModel } from '../../../src/core/separations/inks/model.ts';
import { labOf } from './mixtures.ts';

const grey = (value: number): Light => [value, value, value];
const share = fc.double({ min: 0, max: 1, noNaN: true });
const anyLight = fc.tuple(share, share, share);
const anyInk = fc.record({ light: anyLight, opaque: fc.boolean() });

describe('model of mixtures', () => {
  // Demichel 1924, Π cᵢ or (1 − cᵢ) for .5, .25, .1: Neugebauer sums of areas, weighed so that each decimal shows one area
  test('three plates cover what chance gives them', () => {
    // opaque inks: of areas only the last printed shows, so last .1, second .25 · .9, first .5 · .75 · .9, paper .5 · .75 · .9
    const inks = [0.1, 0.01, 0.001].map((value) => ({ light: grey(value), opaque: true }));
    const light = new Float64Array(3);
    openModel(grey(1), inks, false).lightOf(Float64Array.of(0.5, 0.25, 0.1), light);
    expect(light[1]).toBeCloseTo(0.3375 * 1 + 0.3375 * 0.1 + (0.1125 + 0.1125) * 0.01 + 0.1 * 0.001, 12);
  });

  // Neugebauer 1937 and Yule & Nielsen's n = 1, worked apart from the program: .80, .04, .25, .03 at .4 and .7 give .2622
  test('two plates give the mean light of their four colours', () => {
    const light = new Float64Array(3);
    // a black that filters to .04 of .80 gives .0125 over the red; .03 is opaque over nothing, so the red is printed first
    const inks = [
      { light: grey(0.25), opaque: false },
      { light: grey(0.04), opaque: false },
    ];
    openModel(grey(0.8), inks, false).lightOf(Float64Array.of(0.7, 0.4), light);
    // .18 · .80 + .42 · .25 + .12 · .04 + .28 · .0125; with .03 for the last it is .2622
    expect(light[0]! + 0.28 * (0.03 - 0.0125)).toBeCloseTo(0.2622, 12);
  });

  test('is the sum over all overprints that proofs are made by', () => {
    const law = fc.property(
      anyLight.filter((light) => Math.min(...light) > 0.01),
      fc.array(fc.tuple(anyInk, share), { minLength: 2, maxLength: 5 }),
      fc.boolean(),
      (paper, plates, toPaper) => {
        const inks = plates.map(([ink]) => ink);
        const shares = plates.map(([, area]) => area);
        const [slow, fast] = [new Float64Array(3), new Float64Array(3)];
        neugebauer(shares, overprints(paper, inks), slow);
        openModel(paper, inks, toPaper).lightOf(Float64Array.from(shares), fast);
        for (let i = 0; i < 3; i++) expect(fast[i]! * (toPaper ? paper[i]! : 1)).toBeCloseTo(slow[i]!, 12);
      },
    );
    fc.assert(law, { seed: 1, numRuns: 200 });
  });

  test('its slopes are what small steps of ink do', () => {
    const law = fc.property(fc.array(fc.tuple(anyInk, share), { minLength: 2, maxLength: 5 }), (plates) => {
      const n = plates.length;
      const model = openModel(
        grey(1),
        plates.map(([ink]) => ink),
        true,
      );
      const cover = Float64Array.from(plates, ([, area]) => 0.01 + 0.98 * area);
      const [lab, slopes, light] = [new Float64Array(3), new Float64Array(3 * n), new Float64Array(3)];
      model.labOf(cover, lab, slopes);
      model.lightOf(cover, light);
      expect([...lab]).toEqual([...labOf(light)]);
      for (let i = 0; i < n; i++) {
        const ends = [1e-6, -1e-6].map((step) => {
          const moved = cover.slice();
          moved[i]! += step;
          model.lightOf(moved, light);
          return labOf(light);
        });
        for (let j = 0; j < 3; j++) {
          const wanted = (ends[0]![j]! - ends[1]![j]!) / 2e-6;
          expect(Math.abs(slopes[3 * i + j]! - wanted)).toBeLessThan(1e-3 * (1 + Math.abs(wanted)));
        }
      }
    });
    fc.assert(law, { seed: 2, numRuns: 100 });
  });
});

describe('lattice', () => {
  const random = rowStream(4, 0, 0);
  const table = Uint16Array.from({ length: 2 * SIDE ** 3 }, () => random() >>> 16);
  const code = fc.integer({ min: 0, max: 255 });

  /** Of the six tetrahedra of a cell the one with the pixel, found by sorting; exact until the last step. */
  function slow(rgb: readonly number[], ink: number): number {
    const parts = rgb.map((value) => {
      const cell = Math.min(SIDE - 2, Math.floor((value * (SIDE - 1)) / 255));
      return { cell, part: value * (SIDE - 1) - cell * 255 };
    });
    const corner = parts.map(({ cell }) => cell);
    const at = (): number => table[((corner[0]! * SIDE + corner[1]!) * SIDE + corner[2]!) * 2 + ink]!;
    let sum = 255 * at();
    const order = [0, 1, 2].sort((i, j) => parts[j]!.part - parts[i]!.part);
    for (const axis of order) {
      const before = at();
      corner[axis]!++;
      sum += parts[axis]!.part * (at() - before);
    }
    return Math.floor(sum / 255);
  }

  test('rows are what sorting finds', () => {
    const rows = openLattice(table, 2);
    const law = fc.property(fc.array(fc.tuple(code, code, code), { minLength: 1, maxLength: 20 }), (row) => {
      const tones = [new Uint16Array(row.length), new Uint16Array(row.length)];
      rows(Uint8Array.from(row.flat()), tones);
      row.forEach((pixel, k) => {
        expect(tones[0]![k]).toBe(slow(pixel, 0));
        expect(tones[1]![k]).toBe(slow(pixel, 1));
      });
    });
    fc.assert(law, { seed: 3, numRuns: 300 });
  });

  // rows of more than one go, colours with equal parts and at the ends of cells, tones at both ends of 16 bits
  test('by vectors two to five inks are what plain loops give, two lattices in turn', () => {
    const chance = rowStream(7, 0, 0);
    const nodes = new Uint16Array(5 * SIDE ** 3 + 97);
    for (let i = 0; i < nodes.length; i++) {
      const value = chance();
      nodes[i] = value % 3 === 0 ? value >>> 16 : value % 3 === 1 ? 65535 : 0;
    }
    const ends = [0, 1, 3, 4, 127, 128, 251, 252, 254, 255];
    const rgb = new Uint8Array(3 * 2500).map((_, i) => (i < 4500 ? chance() : ends[chance() % 10]!));
    for (const inks of [2, 3, 4, 5]) {
      const rowsOf = (): Uint16Array[] => Array.from({ length: inks }, () => new Uint16Array(2500));
      const tables = [0, 97].map((at) => nodes.subarray(at, at + inks * SIDE ** 3));
      const splits = tables.map((table) => openLattice(table, inks));
      for (const turn of [0, 1, 0]) {
        const [got, wanted] = [rowsOf(), rowsOf()];
        splits[turn]!(rgb, got);
        openPlainLattice(tables[turn]!, inks)(rgb, wanted);
        expect(got).toEqual(wanted);
      }
    }
  });
});
