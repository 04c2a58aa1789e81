import fc from 'fast-check';
import { expect, test } from 'vitest';
import { wiped } from '../../../src/core/proof/pools.ts';

const PLATE_TONE = 0.05;
const SOLID = 0.9;

/** Etched shares of a plane: pools with some walls in them, and cells that are nearly walls. */
const planes = fc
  .record({ widthPx: fc.integer({ min: 1, max: 40 }), heightPx: fc.integer({ min: 1, max: 60 }) })
  .chain(({ widthPx, heightPx }) => {
    const count = widthPx * heightPx;
    const walls = fc.array(fc.nat(count - 1), { maxLength: Math.ceil(count / 30) });
    return walls.map((at) => {
      const shares = new Float32Array(count).fill(SOLID);
      for (const [i, cell] of at.entries()) shares[cell] = i % 3 === 0 ? 0.8 : (0.1 * i) % 0.78;
      return { widthPx, heightPx, shares };
    });
  });

/** Ink that a cell keeps, by looking at every wall there is and all around the plate. */
function slowInk(shares: Float32Array, widthPx: number, heightPx: number, holds: number, at: number): number {
  const [x, y] = [at % widthPx, Math.floor(at / widthPx)];
  let best = Number.POSITIVE_INFINITY;
  for (let v = -1; v <= heightPx; v++)
    for (let u = -1; u <= widthPx; u++) {
      const inside = u >= 0 && v >= 0 && u < widthPx && v < heightPx;
      const share = inside ? shares[v * widthPx + u]! : 0;
      if (share < (SOLID * 7) / 8) best = Math.min(best, Math.hypot(u - x, v - y));
    }
  const from = best - 0.5;
  const kept = from <= holds ? 1 : Math.max(0.3, 1 - (0.7 * (from - holds)) / holds);
  return shares[at]! * kept + PLATE_TONE * (1 - shares[at]!);
}

test.each([0.4, 1, 2.4, 3.94])(
  'a wiped plane is that of the slow way: ink held by %s cells',
  (holdsCells) => {
    fc.assert(
      fc.property(planes, fc.boolean(), ({ widthPx, heightPx, shares }, backwards) => {
        const etched = (y: number, into: Float32Array): void =>
          into.set(shares.subarray(y * widthPx, (y + 1) * widthPx));
        const wiping = { holdsCells, solid: SOLID, plateTone: PLATE_TONE };
        const inked = wiped(etched, { widthPx, heightPx }, wiping);
        const plainly = wiped(etched, { widthPx, heightPx }, wiping, true);
        const row = new Float32Array(widthPx);
        const plainRow = new Float32Array(widthPx);
        for (let i = 0; i < heightPx; i += 7) {
          const y = backwards ? heightPx - 1 - i : i;
          inked(y, row);
          plainly(y, plainRow);
          expect(row).toEqual(plainRow);
          for (let x = 0; x < widthPx; x += 3)
            expect(row[x]).toBeCloseTo(slowInk(shares, widthPx, heightPx, holdsCells, y * widthPx + x), 5);
        }
      }),
      { seed: 5, numRuns: 40 },
    );
  },
);
