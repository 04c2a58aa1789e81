import { converter, differenceCiede2000 } from 'culori';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ciede2000, ciede2000Form } from '../../../src/core/colour/ciede2000.ts';
import { labInto, xyzShares } from '../../../src/core/colour/lab.ts';
import { decodeSrgb } from '../../../src/core/srgb.ts';
import { pairs } from './sharma2005.ts';

const labColour = fc.tuple(
  fc.double({ min: 0, max: 100, noNaN: true }),
  fc.double({ min: -110, max: 110, noNaN: true }),
  fc.double({ min: -110, max: 110, noNaN: true }),
);

describe('CIEDE2000', () => {
  test('gives all 34 published differences to their four decimals, either way round', () => {
    expect(pairs.length).toBe(34);
    for (const [l1, a1, b1, l2, a2, b2, wanted] of pairs) {
      expect(ciede2000(l1, a1, b1, l2, a2, b2), `${[l1, a1, b1, l2, a2, b2]}`).toBeCloseTo(wanted, 4);
      expect(ciede2000(l2, a2, b2, l1, a1, b1), `${[l2, a2, b2, l1, a1, b1]}`).toBeCloseTo(wanted, 4);
    }
  });

  test('agrees with culori', () => {
    const theirs = differenceCiede2000();
    const law = fc.property(labColour, labColour, ([l1, a1, b1], [l2, a2, b2]) => {
      const wanted = theirs({ mode: 'lab65', l: l1, a: a1, b: b1 }, { mode: 'lab65', l: l2, a: a2, b: b2 });
      expect(ciede2000(l1, a1, b1, l2, a2, b2)).toBeCloseTo(wanted, 7);
    });
    fc.assert(law, { seed: 2, numRuns: 1000 });
  });

  test('is its form for small steps', () => {
    const step = fc.double({ min: -1, max: 1, noNaN: true });
    const far = labColour.filter(([, a, b]) => Math.hypot(a, b) > 5);
    const law = fc.property(far, fc.tuple(step, step, step), ([l, a, b], to) => {
      const size = Math.hypot(...to);
      if (size < 0.1) return;
      const d = to.map((part) => (part / size) * 1e-4);
      const form = new Float64Array(9);
      ciede2000Form(l, a, b, form);
      const squared = d.reduce(
        (sum, p, i) => sum + d.reduce((s, q, j) => s + p * q * form[3 * i + j]!, 0),
        0,
      );
      const wanted = ciede2000(l, a, b, l + d[0]!, a + d[1]!, b + d[2]!);
      // T, the weight of hue, turns with a cusp nowhere, but G bends chroma by up to a few per cent
      expect(Math.sqrt(squared) / wanted).toBeGreaterThan(0.93);
      expect(Math.sqrt(squared) / wanted).toBeLessThan(1.07);
    });
    fc.assert(law, { seed: 3, numRuns: 300 });
  });
});

describe('L*, a*, b*', () => {
  // Y row derived from the primaries of BT.709 and D65, apart from the program; X and Z of white, ASTM E308 from memory
  test('has the luminances of the primaries, and greys without colour', () => {
    [0.21263900587151022, 0.715168678767756, 0.07219231536073371].forEach((share, i) => {
      expect(xyzShares[3 + i]).toBeCloseTo(share, 12);
    });
    const lab = new Float64Array(3);
    // CIE 15:2018, 8.2.1.1: L* of 0.18 is 49.49611
    labInto(0.18, 0.18, 0.18, lab);
    expect(lab[0]).toBeCloseTo(49.49611, 5);
    expect(lab[1]).toBeCloseTo(0, 9);
    expect(lab[2]).toBeCloseTo(0, 9);
  });

  test('agrees with culori on sRGB', () => {
    const theirs = converter('lab65');
    const code = fc.integer({ min: 0, max: 255 });
    const lab = new Float64Array(3);
    const law = fc.property(code, code, code, (r, g, b) => {
      const wanted = theirs({ mode: 'rgb', r: r / 255, g: g / 255, b: b / 255 });
      labInto(decodeSrgb(r / 255), decodeSrgb(g / 255), decodeSrgb(b / 255), lab);
      expect(lab[0]).toBeCloseTo(wanted.l, 3);
      expect(lab[1]).toBeCloseTo(wanted.a, 3);
      expect(lab[2]).toBeCloseTo(wanted.b, 3);
    });
    fc.assert(law, { seed: 4, numRuns: 500 });
  });
});
