import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { openFft2d } from '../../../src/core/fft.ts';
import { rowStream } from '../../../src/core/rng.ts';
import { bluenoise } from '../../../src/core/screens/bluenoise.ts';
import type { ScreenDef } from '../../../src/core/screens/contract.ts';
import { voidAndCluster } from '../../../src/core/screens/void-and-cluster.ts';
import { coverage, flat, screened } from './drive.ts';

const SIDE = 64;
const places = voidAndCluster(SIDE, 1, 0);

/** Power below half the principal frequency √g, over that of white noise of the same tone: R. Ulichney, Digital Halftoning, 1987, ch. 8. */
function lowPower(on: (i: number) => boolean, share: number): number {
  const re = Float64Array.from({ length: SIDE * SIDE }, (_, i) => (on(i) ? 1 : 0));
  const im = new Float64Array(re.length);
  openFft2d(SIDE)(re, im);
  let sum = 0;
  let count = 0;
  for (let y = 0; y < SIDE; y++)
    for (let x = 0; x < SIDE; x++) {
      const frequency = Math.hypot(Math.min(x, SIDE - x), Math.min(y, SIDE - y)) / SIDE;
      if (frequency === 0 || frequency >= Math.sqrt(share) / 2) continue;
      const i = y * SIDE + x;
      sum += re[i]! ** 2 + im[i]! ** 2;
      count++;
    }
  return sum / count / (re.length * share * (1 - share));
}

describe.each([1 / 16, 1 / 8, 1 / 4])('tone %d', (share) => {
  test('has next to no slow waves, where white noise has its full power', () => {
    expect(lowPower((i) => places[i]! < share * places.length, share)).toBeLessThanOrEqual(0.15);
    // white noise, averaged over enough fields that the figure itself is steady
    let white = 0;
    for (let field = 0; field < 40; field++) {
      const random = rowStream(7, field, 0);
      const order = Uint32Array.from({ length: places.length }, random);
      const limit = order.slice().sort()[share * order.length]!;
      white += lowPower((i) => order[i]! < limit, share) / 40;
    }
    expect(white).toBeGreaterThan(0.9);
    expect(white).toBeLessThan(1.1);
  });
});

test('every place once', () => {
  expect(places.slice().sort()).toEqual(Uint32Array.from(places.keys()));
});

test('a tone of k of the tile fires exactly k pixels', () => {
  const def = bluenoise as unknown as ScreenDef;
  for (const k of [0, 1, 2, 100, 4096, 8192, 16383, 16384])
    expect(coverage(screened(def, flat(Math.round((k / 16384) * 65535), 128))) * 16384, `${k}`).toBe(k);
});

test('the tile of a seed is the same in every process; another seed or plate has another', () => {
  const hash = (ranks: Uint32Array): string =>
    createHash('sha256').update(new Uint8Array(ranks.buffer)).digest('hex').slice(0, 16);
  expect(hash(places)).toBe('2f1bab73d87f64c6');
  expect(hash(voidAndCluster(SIDE, 2, 0))).not.toBe(hash(places));
  expect(hash(voidAndCluster(SIDE, 1, 1))).not.toBe(hash(places));
});
