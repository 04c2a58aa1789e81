import { describe, expect, test } from 'vitest';
import { openLightSums, openShrunk, shrunkGrey } from '../../../src/core/proof/shrink.ts';
import { openSquares } from '../../../src/core/proof/squares.ts';
import { decodeSrgb, encodeSrgb } from '../../../src/core/srgb.ts';

/** Bytes at random (Numerical Recipes, 2nd ed. 1992, section 7.1). */
function noise(length: number): Uint8Array {
  let state = 7;
  return Uint8Array.from({ length }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state >>> 24;
  });
}

const meanCode = (codes: readonly number[]): number =>
  255 * encodeSrgb(codes.reduce((sum, code) => sum + decodeSrgb(code / 255), 0) / codes.length);

const [WIDTH, HEIGHT] = [23, 17];

describe.each([1, 2, 5, 40])('%s pixels to one', (by) => {
  const rgb = noise(WIDTH * HEIGHT * 3);
  const slow = (x: number, y: number, channel: number): number => {
    const codes: number[] = [];
    for (let v = y * by; v < Math.min(HEIGHT, (y + 1) * by); v++)
      for (let u = x * by; u < Math.min(WIDTH, (x + 1) * by); u++)
        codes.push(rgb[3 * (v * WIDTH + u) + channel]!);
    return meanCode(codes);
  };

  test('every pixel is the mean light of its square, however the bands cut them', () => {
    const sumLight = openLightSums(WIDTH, by);
    const shrunk = openShrunk({ widthPx: WIDTH, heightPx: HEIGHT }, by);
    for (const [from, to] of [
      [0, 3],
      [3, 4],
      [4, 16],
      [16, 17],
    ] as const)
      shrunk.add(sumLight(rgb.subarray(from * WIDTH * 3, to * WIDTH * 3), from));
    const { widthPx, heightPx, rgb: small } = shrunk.picture();
    expect([widthPx, heightPx]).toEqual([Math.ceil(WIDTH / by), Math.ceil(HEIGHT / by)]);
    for (const [i, byte] of small.entries()) {
      const x = Math.floor(i / 3) % widthPx;
      const y = Math.floor(i / 3 / widthPx);
      expect(Math.abs(byte - slow(x, y, i % 3))).toBeLessThan(0.52);
    }
  });

  test.each([1, 2] as const)('greys of %s bytes likewise', (bytes) => {
    const most = bytes === 1 ? 255 : 65535;
    const read = (y: number, into: Uint8Array | Uint16Array): void => {
      for (let x = 0; x < WIDTH; x++) into[x] = (rgb[3 * (y * WIDTH + x)]! * most) / 255;
    };
    const size = { widthPx: WIDTH, heightPx: HEIGHT };
    const { widthPx, greys } = shrunkGrey(read, size, bytes, by);
    for (const [i, grey] of greys.entries())
      expect(Math.abs(grey - slow(i % widthPx, Math.floor(i / widthPx), 0))).toBeLessThan(0.52);
  });
});

test.each(['grey8', 'grey16', 'rgb8'] as const)('squares of %s have the sums of plain steps', (layout) => {
  for (const widthPx of [1, 23])
    for (const by of [1, 3, 4, 5, 9, 40]) {
      const [fast, plain] = [false, true].map((plainly) => openSquares(widthPx, by, layout, plainly));
      for (const { codes, add } of [fast!, plain!])
        for (const seed of [1, 77]) {
          for (let i = 0; i < codes.length; i++) codes[i] = Math.imul(i + seed, 0x9e3779b1) >>> 15;
          add();
        }
      expect(fast!.sums).toEqual(plain!.sums);
    }
});

test('a lead in front of rows is left out', () => {
  const { sums } = openLightSums(1, 2, 1)(Uint8Array.of(9, 255, 0, 255, 9, 0, 255, 255), 4);
  expect([...sums]).toEqual([65535, 65535, 131070]);
});

// ORACLES 1.1: half white, half black in linear light is code 188
test('a checkerboard comes out at 188', () => {
  const board = Uint8Array.from({ length: 8 * 8 * 3 }, (_, i) =>
    ((Math.floor(i / 3) % 8) + Math.floor(i / 24)) % 2 ? 255 : 0,
  );
  const shrunk = openShrunk({ widthPx: 8, heightPx: 8 }, 4);
  shrunk.add(openLightSums(8, 4)(board, 0));
  expect([...new Set(shrunk.picture().rgb)]).toEqual([188]);
});
