import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Bitmap } from '../../../src/core/bitmap.ts';
import { type Light, parseColour } from '../../../src/core/proof/colour.ts';
import { type Ink, neugebauer, overprints } from '../../../src/core/proof/overprint.ts';
import { bluenoise } from '../../../src/core/screens/bluenoise.ts';
import type { ScreenDef } from '../../../src/core/screens/contract.ts';
import { dot } from '../../../src/core/screens/dot.ts';
import { grain } from '../../../src/core/screens/grain.ts';
import type { ToneSplit } from '../../../src/core/separations/contract.ts';
import { openLattice } from '../../../src/core/separations/inks/lattice.ts';
import { inksWay } from '../../../src/core/separations/inks.ts';
import { flat, placeOf, screened } from '../screens/drive.ts';
import {
  anyColours,
  differenceOf,
  lightOfCode,
  meanOf,
  printed,
  tonesOf,
  transparent,
  white,
  withinReach,
} from './mixtures.ts';

const plain = { totalInkPercent: 500, whiteIs: 'white' } as const;
const toned = parseColour('#f4ecd8', 'paper');

const opaqueLast: Ink[] = [
  ...transparent('#e8c547', '#b5341f'),
  { light: parseColour('#20304f', 'ink'), opaque: true },
];

const sets: readonly (readonly [name: string, inks: Ink[], paper: Light, bareCode: readonly number[]])[] = [
  ['two', transparent('#d83a2b', '#1f3f8a'), white, [255, 255, 255]],
  ['three', transparent('#f7dc00', '#d3104f', '#0083bd'), white, [255, 255, 255]],
  ['three, the last opaque, on toned paper', opaqueLast, toned, [0xf4, 0xec, 0xd8]],
  ['three dull', transparent('#c8a040', '#7a2a20', '#204030'), white, [255, 255, 255]],
  ['five', transparent('#ffe000', '#e06020', '#d4145a', '#0083b8', '#1c1a19'), white, [255, 255, 255]],
];

const opened = new Map<string, ToneSplit>();

/** Makes the table of a set once for all tests. */
function open(name: string, inks: readonly Ink[], paper: Light): ToneSplit {
  const known = opened.get(name) ?? openLattice(inksWay(plain).build(inks, paper), inks.length);
  opened.set(name, known);
  return known;
}

describe.each(sets)('%s inks', (name, inks, paper, bareCode) => {
  test('colours within reach come out by the model at 0.3 from what was asked for, on the mean', () => {
    const rgb = withinReach(paper, inks, 3000, 5);
    const tones = tonesOf(open(name, inks, paper), rgb, inks.length);
    const off = Array.from({ length: 3000 }, (_, k) =>
      differenceOf(lightOfCode(rgb, k), printed(paper, inks, tones, k)),
    );
    expect(meanOf(off)).toBeLessThanOrEqual(0.3);
  });

  test('the colour of the paper gets no ink', () => {
    const tones = tonesOf(open(name, inks, paper), Uint8Array.from(bareCode), inks.length);
    // toned paper lies between nodes of which some are darker
    for (const tone of tones) expect(tone[0]! / 65535).toBeLessThan(bareCode[2] === 255 ? 1e-9 : 0.01);
  });
});

test('parts of a lattice, each from what travels to a thread, are the whole laid end to end', () => {
  const { build, inParts } = inksWay(plain);
  const inks = transparent('#d83a2b', '#1f3f8a');
  const begun = structuredClone(inParts!.begin(inks, white));
  const parts = Array.from({ length: inParts!.parts }, (_, part) => inParts!.part(inks, white, begun, part));
  const laid = Buffer.concat(parts.map(({ buffer }) => Buffer.from(buffer as ArrayBuffer)));
  expect(laid.equals(Buffer.from(build(inks, white).buffer))).toBe(true);
});

describe('limits and laws', () => {
  const inks = transparent('#f7dc00', '#d3104f', '#0083bd');
  const limited = { totalInkPercent: 180, mostInkPercent: [100, 80, 90], whiteIs: 'paper' } as const;
  const split = openLattice(inksWay(limited).build(inks, toned), inks.length);
  const code = fc.integer({ min: 0, max: 255 });

  test('no ink goes beyond its darkest tone, all together not beyond the limit', () => {
    const tones = tonesOf(split, anyColours(20_000, 3), 3);
    for (let k = 0; k < 20_000; k++) {
      const shares = tones.map((row) => row[k]! / 65535);
      expect(shares[0]! + shares[1]! + shares[2]!).toBeLessThanOrEqual(1.8);
      expect(shares[1]).toBeLessThanOrEqual(0.8);
      expect(shares[2]).toBeLessThanOrEqual(0.9);
    }
    // and the limit is used: the black of the picture gets all the ink there may be
    const black = tonesOf(split, Uint8Array.of(0, 0, 0), 3).map((row) => row[0]! / 65535);
    expect(black[0]! + black[1]! + black[2]!).toBeGreaterThan(1.79);
  });

  test('the white of the picture is the bare sheet, and greys within reach stay grey on it', () => {
    for (const tone of tonesOf(split, Uint8Array.of(255, 255, 255), 3)) expect(tone[0]).toBe(0);
    const greys = Uint8Array.from({ length: 3 * 120 }, (_, i) => 135 + Math.floor(i / 3));
    const tones = tonesOf(split, greys, 3);
    for (let k = 0; k < 120; k++) {
      const seen = printed(toned, inks, tones, k).map((light, i) => light / toned[i]!);
      expect(differenceOf(lightOfCode(greys, k), seen), `${greys[3 * k]}`).toBeLessThan(0.5);
    }
  });

  test('pixels do not depend on each other', () => {
    const law = fc.property(fc.array(fc.tuple(code, code, code), { minLength: 1, maxLength: 9 }), (row) => {
      const together = tonesOf(split, Uint8Array.from(row.flat()), 3);
      row.forEach((pixel, k) => {
        const alone = tonesOf(split, Uint8Array.from(pixel), 3);
        expect(together.map((tone) => tone[k])).toEqual(alone.map((tone) => tone[0]));
      });
    });
    fc.assert(law, { seed: 6, numRuns: 200 });
  });

  test('colours out of reach come out as near as a close search brings them, on the mean', () => {
    const rgb = anyColours(60, 8);
    const tones = tonesOf(open('three', inks, white), rgb, 3);
    const steps = Array.from({ length: 21 }, (_, i) => i / 20);
    const colours = overprints(white, inks);
    const light = new Float64Array(3);
    let beyond = 0;
    for (let k = 0; k < 60; k++) {
      const wanted = lightOfCode(rgb, k);
      let least = Number.POSITIVE_INFINITY;
      for (const p of steps)
        for (const q of steps)
          for (const r of steps) {
            neugebauer([p, q, r], colours, light);
            least = Math.min(least, differenceOf(wanted, light));
          }
      beyond += (differenceOf(wanted, printed(white, inks, tones, k)) - least) / 60;
    }
    expect(beyond).toBeLessThan(0.1);
  });
});

describe('what is printed in the end', () => {
  const [name, inks, paper] = sets[1]!;
  const PATCHES = 12;

  /** Mean light of the plates over each other, pixel by pixel. */
  function lightOfBits(plates: readonly Bitmap[]): Float64Array {
    const colours = overprints(paper, inks);
    const counts = new Float64Array(colours.length);
    const { widthPx, heightPx, strideBytes } = plates[0]!;
    for (let y = 0; y < heightPx; y++)
      for (let x = 0; x < widthPx; x++) {
        let k = 0;
        plates.forEach(({ data }, i) => {
          if (data[y * strideBytes + (x >> 3)]! & (0x80 >> (x & 7))) k |= 1 << i;
        });
        counts[k]!++;
      }
    const light = new Float64Array(3);
    counts.forEach((count, k) => {
      for (let i = 0; i < 3; i++) light[i]! += (count / (widthPx * heightPx)) * colours[k]![i]!;
    });
    return light;
  }

  const angles = [0, 75, 15];
  const screens: readonly (readonly [
    string,
    ScreenDef,
    (plate: number) => Record<string, unknown>,
    number,
  ])[] = [
    ['blue noise', bluenoise as unknown as ScreenDef, (plate) => ({ seed: plate + 1 }), 256],
    ['grain', grain as unknown as ScreenDef, (plate) => ({ seed: plate + 1 }), 512],
    ['dot', dot as unknown as ScreenDef, (plate) => ({ rulingLpi: 60, angleDeg: angles[plate]! }), 512],
  ];

  test.each(screens)(
    '%s: bits averaged in light are at 1.5 at most, on the mean',
    (_name, screen, given, side) => {
      const rgb = withinReach(paper, inks, PATCHES, 9);
      const tones = tonesOf(open(name, inks, paper), rgb, inks.length);
      const off = Array.from({ length: PATCHES }, (_, k) => {
        const plates = tones.map((row, plate) =>
          screened(screen, flat(row[k]!, side), given(plate), {}, placeOf({ plate })),
        );
        return differenceOf(lightOfCode(rgb, k), lightOfBits(plates));
      });
      expect(meanOf(off)).toBeLessThanOrEqual(1.5);
    },
  );
});
