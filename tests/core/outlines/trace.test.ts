import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Loop } from '../../../src/core/outlines/contract.ts';
import { firstOfRow, spansOf } from '../../../src/core/outlines/spans.ts';
import { straightened } from '../../../src/core/outlines/straighten.ts';
import { trace } from '../../../src/core/outlines/trace.ts';
import { drawn, hausdorffMm, isInside, star } from './shapes.ts';

test('filling the lines of any picture gives just the pixels that are more than half inside', () => {
  const pictures = fc
    .tuple(fc.integer({ min: 1, max: 9 }), fc.integer({ min: 1, max: 9 }))
    .chain(([widthPx, heightPx]) =>
      fc
        .uint8Array({ minLength: widthPx * heightPx, maxLength: widthPx * heightPx })
        .map((values) => ({ widthPx, heightPx, values })),
    );
  fc.assert(
    fc.property(pictures, (grid) => {
      const spans = spansOf(trace(grid), 1, grid.widthPx, grid.heightPx);
      const filled = new Uint8Array(grid.values.length);
      for (let i = 0; i < spans.length; i += 3)
        filled.fill(1, spans[i]! * grid.widthPx + spans[i + 1]!, spans[i]! * grid.widthPx + spans[i + 2]!);
      expect([...filled]).toEqual([...grid.values].map((value) => (value > 127.5 ? 1 : 0)));
      for (let row = 0; row <= grid.heightPx; row++) {
        const at = firstOfRow(spans, row);
        const before = [...spans].filter((y, i) => i % 3 === 0 && y < row).length;
        expect(at).toBe(3 * before);
      }
    }),
    { numRuns: 300, seed: 5 },
  );
});

describe('a disc drawn with greys', () => {
  const grid = drawn(120, 120, 0.1, 8, ({ x, y }) => Math.hypot(x - 6, y - 6) < 5);
  const [loop] = trace(grid).map((points) => points.map(({ x, y }) => ({ x: x * 0.1, y: y * 0.1 })));

  test('is found to a tenth of a pixel, and stays round', () => {
    for (const line of [loop!, straightened(loop!, 0.1)])
      for (const { x, y } of line) expect(Math.abs(Math.hypot(x - 6, y - 6) - 5)).toBeLessThan(0.01);
  });
});

describe('a star', () => {
  const truth = star(5, 22, 10, 24, 24);
  const tracedFrom = (fine: number): { traced: Loop; straight: Loop } => {
    const grid = drawn(480, 480, 0.1, fine, (point) => isInside(truth, point));
    const [traced] = trace(grid).map((points) => points.map(({ x, y }) => ({ x: x * 0.1, y: y * 0.1 })));
    return { traced: traced!, straight: straightened(traced!, 0.1) };
  };

  test('drawn with greys has its ten corners again, and its edges where they were', () => {
    const { traced, straight } = tracedFrom(4);
    expect(straight.length).toBe(10);
    expect(hausdorffMm(traced, truth)).toBeGreaterThan(0.1);
    expect(hausdorffMm(straight, truth)).toBeLessThan(0.005);
  });

  test('drawn without greys has most of them, and lies within a pixel', () => {
    const { traced, straight } = tracedFrom(1);
    expect(straight.length).toBeLessThan(traced.length / 10);
    expect(hausdorffMm(straight, truth)).toBeLessThan(Math.min(hausdorffMm(traced, truth), 0.15));
  });
});
