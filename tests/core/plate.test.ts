import fc from 'fast-check';
import { expect, test } from 'vitest';
import { getBit } from '../../src/core/bitmap.ts';
import { type Finish, finishRows } from '../../src/core/plate.ts';
import { drawing, drawn, fromRows } from './drawing.ts';

const whole = (widthPx: number, heightPx: number) => ({ xPx: 0, yPx: 0, widthPx, heightPx });

test('a relief block etches the paper, mirrored', () => {
  const ink = drawing('##.\n#..');
  finishRows(ink, { etches: 'paper', border: 'etched', box: whole(3, 2), mirror: true }, 0, 2);
  expect(drawn(ink)).toBe('#..\n##.');
});

test('an intaglio plate etches the ink, mirrored', () => {
  const ink = drawing('##.\n#..');
  finishRows(ink, { etches: 'ink', border: 'kept', box: whole(3, 2), mirror: true }, 0, 2);
  expect(drawn(ink)).toBe('.##\n..#');
});

test('the border is etched away on a block and kept on a plate, whatever is etched inside', () => {
  const box = { xPx: 1, yPx: 1, widthPx: 2, heightPx: 1 };
  for (const etches of ['ink', 'paper'] as const) {
    const block = drawing('....\n.##.\n....');
    finishRows(block, { etches, border: 'etched', box, mirror: false }, 0, 3);
    expect(drawn(block)).toBe(etches === 'ink' ? '####\n####\n####' : '####\n#..#\n####');
    const plate = drawing('....\n.##.\n....');
    finishRows(plate, { etches, border: 'kept', box, mirror: false }, 0, 3);
    expect(drawn(plate)).toBe(etches === 'ink' ? '....\n.##.\n....' : '....\n....\n....');
  }
});

test('finishing equals the obvious pixel by pixel version, in any split of rows', () => {
  const plate = fc.record({
    rows: fc
      .tuple(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 6 }))
      .chain(([w, h]) =>
        fc.array(fc.array(fc.boolean(), { minLength: w, maxLength: w }), { minLength: h, maxLength: h }),
      ),
    x: fc.nat(10),
    y: fc.nat(3),
    right: fc.nat(10),
    below: fc.nat(3),
    etches: fc.constantFrom('ink' as const, 'paper' as const),
    border: fc.constantFrom('etched' as const, 'kept' as const),
    mirror: fc.boolean(),
    split: fc.nat(12),
  });
  fc.assert(
    fc.property(plate, ({ rows, x, y, right, below, etches, border, mirror, split }) => {
      const box = { xPx: x, yPx: y, widthPx: rows[0]!.length, heightPx: rows.length };
      const width = x + box.widthPx + right;
      const height = y + box.heightPx + below;
      const ink = (px: number, py: number) => rows[py - y]?.[px - x] ?? false;
      const map = fromRows(
        Array.from({ length: height }, (_, py) => Array.from({ length: width }, (_, px) => ink(px, py))),
      );
      const finish: Finish = { etches, border, box, mirror };
      const at = Math.min(split, height);
      finishRows(map, finish, at, height);
      finishRows(map, finish, 0, at);
      for (let py = 0; py < height; py++)
        for (let px = 0; px < width; px++) {
          const from = mirror ? width - 1 - px : px;
          const inside = from >= x && from < x + box.widthPx && py >= y && py < y + box.heightPx;
          const etched = inside ? ink(from, py) === (etches === 'ink') : border === 'etched';
          expect(getBit(map, px, py)).toBe(etched ? 1 : 0);
        }
    }),
    { seed: 1, numRuns: 200 },
  );
});
