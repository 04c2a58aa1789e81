import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Measured, PictureLoops } from '../../../src/core/picture/loops.ts';
import { BYTES } from '../../../src/core/picture/memory.ts';
import { plainLoops } from '../../../src/core/picture/open-loops.ts';
import { at, MOST } from '../../../src/core/picture/peaks.ts';
import { openSharesWasm } from '../../../src/core/picture/shares-wasm.ts';
import { specksByWasm } from '../../../src/core/picture/specks-wasm.ts';
import { openSpectrumWasm } from '../../../src/core/picture/spectrum-wasm.ts';
import { TILE_PX, type Tile } from '../../../src/core/picture/tiles.ts';
import { fineEnergy, wavesOf } from '../../../src/core/picture/waves.ts';
import { rowStream } from '../../../src/core/rng.ts';

/* By WebAssembly and in plain loops: the same counts, and spectra to the last bits. */

/** About the ends of steps of 8 and 16 pixels, and whole tiles. */
const side = fc.oneof(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 497, max: TILE_PX }));
const anySize = fc.record({ widthPx: side, heightPx: side });
const narrow = fc.integer({ min: 1, max: 60 });

type Kind = 'noise' | 'shades' | 'levels' | 'drawing' | 'dots';
const kinds: readonly Kind[] = ['noise', 'shades', 'levels', 'drawing', 'dots'];
const anyKinds = fc.array(fc.constantFrom(...kinds), { minLength: 1, maxLength: 3 });

/** A tile of some kind; its tones go from end to end of the scale. */
function tileOf(
  { widthPx, heightPx }: { widthPx: number; heightPx: number },
  kind: Kind,
  seed: number,
): Tile {
  const next = rowStream(seed, 0, 0);
  const whole = { noise: 65535, shades: 900, levels: 5000, drawing: 300, dots: 3000 }[kind];
  const tone = Int16Array.from({ length: widthPx * heightPx }, (_, i) => {
    const [x, y] = [i % widthPx, Math.floor(i / widthPx)];
    const wave = Math.sin(x / 2 + seed) + Math.sin(y / 2);
    const base = {
      noise: 32768,
      shades: 32768 + 30000 * Math.sin((x + 2 * y) / 90 + seed),
      levels: 4000 * Math.floor((x + y + seed) / 9),
      drawing: (x * 5 + y * 3 + seed) % 31 < 9 ? 65000 : 800,
      dots: wave > 0.3 ? 52000 : 9000,
    }[kind];
    const noise = ((next() >>> 8) / 2 ** 24 - 0.5) * whole;
    return Math.min(65535, Math.max(0, Math.round(base + noise))) - 32768;
  });
  return { widthPx, heightPx, tone };
}

const tilesOf = (
  size: { widthPx: number; heightPx: number },
  wanted: readonly Kind[],
  seed: number,
): Tile[] => wanted.map((kind, i) => tileOf(size, kind, seed + i));

/** Opened anew, and surely not the plain ones: these are taken where an engine refuses a module. */
function wasmLoops(): PictureLoops {
  const { shares, memory } = openSharesWasm(BYTES)!;
  return {
    shares,
    openSpectrum: (of) => openSpectrumWasm(of, memory)!,
    specks: (tiles) => specksByWasm(tiles, memory)!,
  };
}

test('tones are counted and judged alike, one picture after the other in the same memory', () => {
  const loops = wasmLoops();
  const bin = fc.nat({ max: 255 });
  const law = fc.property(anySize, anyKinds, fc.nat({ max: 999 }), bin, bin, (size, wanted, seed, a, b) => {
    const tiles = tilesOf(size, wanted, seed);
    expect(loops.shares.histogram(tiles)).toEqual(plainLoops.shares.histogram(tiles));
    expect(loops.shares.judge(tiles, a, b)).toEqual(plainLoops.shares.judge(tiles, a, b));
  });
  fc.assert(law, { seed: 1, numRuns: 60 });
});

test('ranges of tone next to each limit fall on the same side of it', () => {
  const loops = wasmLoops();
  const limits = [12 << 8, 72 << 8, 112 << 8];
  for (const limit of limits)
    for (const off of [-1, 0, 1])
      for (const base of [-32768, -5000, 0])
        for (let place = 0; place < 49; place++) {
          const tone = new Int16Array(49).fill(base);
          tone[place] = base + limit + off;
          const tiles = [{ widthPx: 7, heightPx: 7, tone }];
          for (const paper of [(base >> 8) + 128 + 25, (base >> 8) + 128 + 24, 255])
            expect(loops.shares.judge(tiles, paper, 0)).toEqual(plainLoops.shares.judge(tiles, paper, 0));
        }
});

test('specks are counted alike', () => {
  const loops = wasmLoops();
  const law = fc.property(anySize, fc.nat({ max: 999 }), fc.nat({ max: 3 }), (size, seed, kind) => {
    const next = rowStream(seed, 0, 0);
    const [one, other] = [next() >> 16, next() >> 16];
    const tones = (x: number, y: number): boolean =>
      [next() < 2 ** 31, next() < 2 ** 28, ((x + y) & 1) === 1 && next() > 2 ** 27, (3 * x + y) % 7 < 2][
        kind
      ]!;
    const tiles = [0, 1].map(() => ({
      ...size,
      tone: Int16Array.from({ length: size.widthPx * size.heightPx }, (_, i) =>
        tones(i % size.widthPx, Math.floor(i / size.widthPx)) ? one : other,
      ),
    }));
    expect(loops.specks(tiles)).toEqual(plainLoops.specks(tiles));
  });
  fc.assert(law, { seed: 1, numRuns: 60 });
});

test('sums of tones are exact, those of the darkest tile too', () => {
  const loops = wasmLoops();
  const law = fc.property(anySize, fc.constantFrom(...kinds), fc.nat({ max: 999 }), (size, kind, seed) => {
    const tile = tileOf(size, kind, seed);
    expect(loops.openSpectrum(tile).sums(tile)).toEqual(plainLoops.openSpectrum(tile).sums(tile));
  });
  fc.assert(law, { seed: 1, numRuns: 20 });
  for (const level of [-32768, 32767]) {
    const tone = new Int16Array(TILE_PX * TILE_PX).fill(level);
    const tile = { widthPx: TILE_PX, heightPx: TILE_PX, tone };
    const { length } = tone;
    expect(loops.openSpectrum(tile).sums(tile)).toEqual({
      sum: length * level,
      squares: length * level ** 2,
    });
  }
});

const measured = (tiles: readonly Tile[]): Measured[] =>
  tiles.map((tile, i) => ({
    tile,
    mean: tile.tone.reduce((sum, tone) => sum + tone, 0) / tile.tone.length + i,
  }));

test('spectra are alike at every frequency, and so are the waves found in them', () => {
  const loops = wasmLoops();
  const sizes = fc.oneof(anySize, fc.record({ widthPx: narrow, heightPx: fc.constant(TILE_PX) }));
  const law = fc.property(sizes, anyKinds, fc.nat({ max: 999 }), (size, wanted, seed) => {
    const tiles = measured(tilesOf(size, wanted, seed));
    const { tile } = tiles[0]!;
    const plain = plainLoops.openSpectrum(tile).power(tiles, 1e-15);
    const fast = loops.openSpectrum(tile).power(tiles, 1e-15);
    const most = plain.power.reduce((a, b) => Math.max(a, b), 0);
    let worst = 0;
    for (let i = 0; i < plain.power.length; i++)
      worst = Math.max(worst, Math.abs(fast.power[i]! - plain.power[i]!));
    expect(fast.power.length).toBe(plain.power.length);
    // a transform of 512² rounds 18 times, of numbers that are as large as the largest wave's
    expect(worst).toBeLessThanOrEqual(1e-13 * most);
    expect(fineEnergy(fast) / fineEnergy(plain)).toBeCloseTo(1, 9);
    // in one spectrum, so that noise at the limit is the same for both
    const lobe = 1 + (seed % 16);
    const inPlain = { ...plain, power: fast.power.slice() };
    expect(wavesOf(fast, lobe)).toEqual(wavesOf({ ...inPlain, likely: allBins }, lobe));
  });
  fc.assert(law, { seed: 1, numRuns: 15 });
});

/** Every bin that a peak may be at. */
function* allBins(): Iterable<number> {
  for (let v = 0; v <= MOST; v++) for (let u = -MOST; u <= MOST; u++) yield at(u, v);
}

test('the plain way finds the same lattice as the fast one', () => {
  const tile = tileOf({ widthPx: 200, heightPx: 150 }, 'dots', 4);
  const [tiles] = [measured([tile])];
  const [plain, fast] = [plainLoops, wasmLoops()].map((loops) =>
    wavesOf(loops.openSpectrum(tile).power(tiles, 1e-15), 6),
  );
  expect(fast!.length).toBeGreaterThan(1);
  expect(fast!.length).toBe(plain!.length);
  for (const [i, { u, v, energy }] of fast!.entries()) {
    expect(u).toBeCloseTo(plain![i]!.u, 9);
    expect(v).toBeCloseTo(plain![i]!.v, 9);
    expect(energy / plain![i]!.energy).toBeCloseTo(1, 9);
  }
});
