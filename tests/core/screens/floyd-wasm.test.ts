import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rowStream } from '../../../src/core/rng.ts';
import type { DiffusionRun } from '../../../src/core/screens/diffusion/contract.ts';
import { openPlainFloyd } from '../../../src/core/screens/diffusion/floyd-steinberg.ts';
import { openFloydWasm } from '../../../src/core/screens/diffusion/floyd-wasm.ts';

const ROWS = 6;
const GAP = 0b1010_0101;

/** About the ends of groups of 4, steps of 16 and blocks of 512 pixels. */
const anyWidthPx = fc.oneof(
  fc.integer({ min: 1, max: 40 }),
  fc.integer({ min: 505, max: 535 }),
  fc.integer({ min: 1020, max: 1042 }),
);

const anyRun = fc.record({
  widthPx: anyWidthPx,
  // off the middle, errors grow until only the guard keeps paper clean
  thresholdTone: fc.constantFrom(32767, 32639, 24000, 41000.5),
  scan: fc.constantFrom('serpentine' as const, 'raster' as const),
  sides: fc.constantFrom('keep' as const, 'drop' as const),
  noise: fc.constantFrom(0, 0.5, 1),
  seed: fc.nat(),
  plate: fc.nat({ max: 8 }),
  firstRow: fc.integer({ min: -3, max: 3 }),
});

/** A row of tones of any kind, bare paper and solids among them. */
function tonesOf(widthPx: number, kind: number, y: number): Uint16Array {
  const next = rowStream(kind, 0, y);
  return Uint16Array.from({ length: widthPx }, (_, x) => {
    const word = next();
    const tones = [word >>> 16, (x * 65535) / widthPx, [0, 1, 65534, 65535][word & 3]!, x < 9 ? 0 : 65535];
    return tones[(kind + (word >>> 30 === 0 ? 1 : 0)) % tones.length]!;
  });
}

/** Bits of a few rows, each behind a byte that is not theirs. */
function bitsBy(row: ReturnType<typeof openPlainFloyd>, run: DiffusionRun, kind: number): Uint8Array {
  const strideBytes = (run.widthPx + 7) >> 3;
  const bits = new Uint8Array(ROWS * (strideBytes + 1) + 1).fill(GAP);
  for (let i = 0; i < ROWS; i++)
    row(tonesOf(run.widthPx, kind, i), run.firstRow + i, bits, 1 + i * (strideBytes + 1));
  return bits;
}

test('Floyd and Steinberg by WebAssembly draws what the plain loop draws', () => {
  const law = fc.property(anyRun, fc.nat({ max: 3 }), (run, kind) => {
    const wasm = openFloydWasm(run);
    expect(wasm).not.toBeNull();
    expect(bitsBy(wasm!, run, kind)).toEqual(bitsBy(openPlainFloyd(run), run, kind));
  });
  fc.assert(law, { seed: 1, numRuns: 400 });
});
