import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  combineOrientations,
  composeOrientation,
  type Orientation,
  type RotateDeg,
  turnOf,
  uprightSize,
} from '../../src/core/geometry-orientation.ts';

type Drawing = readonly string[];

const all: readonly Orientation[] = [1, 2, 3, 4, 5, 6, 7, 8];
const rotations: readonly RotateDeg[] = [0, 90, 180, 270];

// The obvious slow way, from the words of CIPA DC-008, tag 0x0112: where the stored row 0 and column 0 are seen.
const mirrored = (drawing: Drawing): Drawing => drawing.map((row) => [...row].reverse().join(''));
const clockwise = (drawing: Drawing): Drawing =>
  [...drawing[0]!].map((_, column) =>
    drawing
      .map((row) => row[column]!)
      .reverse()
      .join(''),
  );
const turned = (drawing: Drawing, rotateDeg: RotateDeg): Drawing =>
  rotateDeg === 0 ? drawing : turned(clockwise(drawing), (rotateDeg - 90) as RotateDeg);
const uprights: Readonly<Record<Orientation, (drawing: Drawing) => Drawing>> = {
  1: (stored) => stored,
  2: (stored) => mirrored(stored),
  3: (stored) => turned(stored, 180),
  4: (stored) => turned(mirrored(stored), 180),
  5: (stored) => turned(mirrored(stored), 270),
  6: (stored) => turned(stored, 90),
  7: (stored) => turned(mirrored(stored), 90),
  8: (stored) => turned(stored, 270),
};

const byTurn = (stored: Drawing, orientation: Orientation): Drawing => {
  const width = stored[0]!.length;
  const size = uprightSize(orientation, { widthPx: width, heightPx: stored.length });
  const turn = turnOf(orientation);
  return Array.from({ length: size.heightPx }, (_, y) =>
    Array.from({ length: size.widthPx }, (_, x) => {
      const [u, v] = turn.transposed ? [y, x] : [x, y];
      return stored[turn.flippedY ? stored.length - 1 - v : v]![turn.flippedX ? width - 1 - u : u];
    }).join(''),
  );
};

const drawing: Drawing = ['abc', 'def'];

describe('orientation', () => {
  test.each([
    [1, ['abc', 'def']],
    [2, ['cba', 'fed']],
    [3, ['fed', 'cba']],
    [4, ['def', 'abc']],
    [5, ['ad', 'be', 'cf']],
    [6, ['da', 'eb', 'fc']],
    [7, ['fc', 'eb', 'da']],
    [8, ['cf', 'be', 'ad']],
  ] as const)('%i is seen as CIPA DC-008 says', (orientation, seen) => {
    expect(byTurn(drawing, orientation)).toEqual(seen);
    expect(uprights[orientation](drawing)).toEqual(seen);
  });

  test('rotating after the tag equals turning the upright drawing clockwise', () => {
    for (const exif of all) {
      for (const rotateDeg of rotations) {
        expect(byTurn(drawing, composeOrientation(exif, rotateDeg))).toEqual(
          turned(uprights[exif](drawing), rotateDeg),
        );
      }
    }
  });

  test('two orientations after one another equal their combination', () => {
    for (const a of all) {
      for (const b of all) {
        expect(byTurn(drawing, combineOrientations(a, b))).toEqual(uprights[b](uprights[a](drawing)));
      }
    }
  });

  test('form a group: closed, associative, with one neutral and an inverse for each', () => {
    const any = fc.constantFrom(...all);
    fc.assert(
      fc.property(any, any, any, (a, b, c) => {
        expect(combineOrientations(combineOrientations(a, b), c)).toBe(
          combineOrientations(a, combineOrientations(b, c)),
        );
        expect(combineOrientations(a, 1)).toBe(a);
        expect(combineOrientations(1, a)).toBe(a);
        expect(all.filter((inverse) => combineOrientations(a, inverse) === 1)).toHaveLength(1);
      }),
      { seed: 1 },
    );
  });

  test('four quarter turns change nothing', () => {
    for (const exif of all) {
      const once = composeOrientation(exif, 90);
      expect(composeOrientation(once, 270)).toBe(exif);
      expect(composeOrientation(composeOrientation(once, 90), 180)).toBe(exif);
    }
  });
});
