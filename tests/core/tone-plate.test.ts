import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Finish } from '../../src/core/plate.ts';
import { etchToneRow, sumOf } from '../../src/core/tone-plate.ts';

const alone = (widthPx: number): Finish['box'] => ({ xPx: 0, yPx: 0, widthPx, heightPx: 1 });

function etched(tones: readonly number[], finish: Finish, y = 0, widthPx = tones.length): number[] {
  const row = new Uint8Array(widthPx).fill(0x5a);
  etchToneRow(Uint16Array.from(tones), y, finish, row);
  return [...row];
}

test('an intaglio plate etches the ink, a relief block the paper, both mirrored', () => {
  const tones = [0, 65535, 32639];
  const box = alone(3);
  expect(etched(tones, { etches: 'ink', border: 'kept', box, mirror: true })).toEqual([127, 255, 0]);
  expect(etched(tones, { etches: 'paper', border: 'etched', box, mirror: true })).toEqual([128, 0, 255]);
});

test('every tone becomes the nearest of 256, on either side', () => {
  const tones = Array.from({ length: 65536 }, (_, tone) => tone);
  const box = alone(65536);
  const ink = etched(tones, { etches: 'ink', border: 'kept', box, mirror: false });
  expect(ink).toEqual(tones.map((tone) => Math.round(tone / 257)));
  const paper = etched(tones, { etches: 'paper', border: 'kept', box, mirror: false });
  expect(paper).toEqual(tones.map((tone) => Math.round((65535 - tone) / 257)));
});

test('a plate equals the obvious pixel by pixel version', () => {
  const plate = fc.record({
    rows: fc
      .tuple(fc.integer({ min: 1, max: 20 }), fc.integer({ min: 1, max: 4 }))
      .chain(([w, h]) =>
        fc.array(fc.array(fc.nat(65535), { minLength: w, maxLength: w }), { minLength: h, maxLength: h }),
      ),
    x: fc.nat(5),
    y: fc.nat(3),
    right: fc.nat(5),
    below: fc.nat(3),
    etches: fc.constantFrom('ink' as const, 'paper' as const),
    border: fc.constantFrom('etched' as const, 'kept' as const),
    mirror: fc.boolean(),
  });
  fc.assert(
    fc.property(plate, ({ rows, x, y, right, below, etches, border, mirror }) => {
      const box = { xPx: x, yPx: y, widthPx: rows[0]!.length, heightPx: rows.length };
      const width = x + box.widthPx + right;
      for (let py = 0; py < y + box.heightPx + below; py++) {
        const expected = Array.from({ length: width }, (_, px) => {
          const tone = rows[py - y]?.[(mirror ? width - 1 - px : px) - x];
          if (tone === undefined) return border === 'etched' ? 255 : 0;
          return Math.round((255 * (etches === 'ink' ? tone : 65535 - tone)) / 65535);
        });
        const row = rows[py - y] ?? rows[0]!;
        expect(etched(row, { etches, border, box, mirror }, py, width)).toEqual(expected);
      }
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('the sum is that of all bytes', () => {
  expect(sumOf(Uint8Array.of(0, 1, 254, 255))).toBe(510);
  expect(sumOf(new Uint8Array(0))).toBe(0);
});
