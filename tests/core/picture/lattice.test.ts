import sharp from 'sharp';
import { expect, test } from 'vitest';
import { findLattice } from '../../../src/core/picture/lattice.ts';
import { readTiles } from '../../../src/core/picture/tiles.ts';
import {
  type DotScreen,
  diffused,
  dots,
  type Made,
  made,
  noisy,
  printed,
  shaded,
  softened,
  sourceOf,
} from './made.ts';

const latticeOf = (picture: Made) => findLattice(readTiles(sourceOf(picture)).tiles);

/** How far two angles of a square lattice are apart, in degrees. */
const apart = (a: number, b: number): number => Math.abs(((a - b + 45 + 360) % 90) - 45);

function expectLattice(picture: Made, { periodPx, angleDeg }: DotScreen): void {
  const found = latticeOf(picture);
  expect(found).not.toBeNull();
  expect(Math.abs(found!.rulingPerPx * periodPx - 1)).toBeLessThan(0.02);
  expect(apart(found!.angleDeg, angleDeg)).toBeLessThan(1);
}

const SCREENS: readonly DotScreen[] = [
  { periodPx: 3, angleDeg: 15 },
  { periodPx: 3.7, angleDeg: 75 },
  { periodPx: 5.3, angleDeg: 45 },
  { periodPx: 8, angleDeg: 0 },
  { periodPx: 11, angleDeg: 7.5 },
  { periodPx: 20, angleDeg: 30 },
];

test.each(SCREENS)('finds a clean screen of $periodPx px at $angleDeg°', (screen) => {
  expectLattice(
    dots(256, screen, () => 0.3),
    screen,
  );
});

test.each(SCREENS)('finds it printed, blurred and noisy over a shaded picture', (screen) => {
  const scan = softened(dots(256, screen, shaded), screen.periodPx / 4);
  expectLattice(noisy(printed(scan, 0.06, 0.85), 0.05), screen);
});

test('a tint at 45 % of the side of a white page is found all the same', () => {
  const screen = { periodPx: 6, angleDeg: 22.5 };
  expectLattice(
    dots(256, screen, (x, y) => (x < 115 && y < 115 ? 0.4 : 0)),
    screen,
  );
});

/** One wave of ink lines. */
const hatch = (periodPx: number, angleDeg: number) => {
  const [c, s] = [Math.cos((angleDeg * Math.PI) / 180), Math.sin((angleDeg * Math.PI) / 180)];
  return (x: number, y: number): number =>
    Math.min(
      1,
      Math.max(0, 1.5 - Math.abs(((((x * s + y * c) % periodPx) + periodPx) % periodPx) - periodPx / 2)),
    );
};

test('what is no halftone has no lattice', () => {
  const shadedPicture = made(256, 256, shaded);
  const others: Record<string, Made> = {
    shaded: shadedPicture,
    'noise alone': noisy(
      made(256, 256, () => 0.5),
      0.2,
    ),
    hatching: made(256, 256, hatch(6, 30)),
    'hatching across at 45°': made(256, 256, (x, y) => Math.max(hatch(8, 30)(x, y), hatch(8, 75)(x, y))),
    'error diffusion': diffused(shadedPicture),
    chessboard: made(256, 256, (x, y) => ((x >> 5) + (y >> 5)) & 1),
    flat: made(256, 256, () => 0.3),
    small: dots(40, { periodPx: 4, angleDeg: 0 }, () => 0.4),
    'zone plate': made(256, 256, (x, y) => 0.5 + 0.5 * Math.cos((Math.PI * (x * x + y * y)) / 800)),
  };
  for (const [name, picture] of Object.entries(others))
    expect([name, latticeOf(picture)]).toEqual([name, null]);
});

test('the eight-pixel blocks of coarse JPEGs, as libjpeg writes them, are none', async () => {
  const grey = Buffer.from(
    Uint8Array.from(made(256, 256, shaded).ink, (ink) => 255 * (1 - Math.min(1, ink))),
  );
  for (const quality of [5, 10, 20]) {
    const raw = { width: 256, height: 256, channels: 1 } as const;
    const jpeg = await sharp(grey, { raw }).jpeg({ quality }).toBuffer();
    const { data, info } = await sharp(jpeg).greyscale().raw().toBuffer({ resolveWithObject: true });
    const blocks = made(256, 256, (x, y) => 1 - data[(y * 256 + x) * info.channels]! / 255);
    expect([quality, latticeOf(blocks)]).toEqual([quality, null]);
  }
});

test('strength and amplitude of a pure pair of waves are theirs', () => {
  const turn = (2 * Math.PI) / 8;
  const found = latticeOf(made(256, 256, (x, y) => 0.5 + 0.1 * (Math.cos(turn * x) + Math.cos(turn * y))))!;
  expect(found.strength).toBeCloseTo(1, 2);
  // 256 levels of tone fall in with the wave and change it by up to half a level
  expect(Math.abs(found.amplitude - 0.1)).toBeLessThan(0.5 / 255);
});
