import fc from 'fast-check';
import { expect, test } from 'vitest';
import { layTile, openTiled } from '../../../src/core/screens/tiled.ts';
import { screenBands } from './drive.ts';

test('a pattern of any size, eight pixels at a time, compares as one by one', () => {
  const law = fc.property(
    fc.integer({ min: 1, max: 21 }),
    fc.integer({ min: 1, max: 4 }),
    fc.nat(20),
    fc.integer({ min: 1, max: 70 }),
    fc.infiniteStream(fc.integer({ min: 0, max: 65535 })),
    fc.integer({ min: -70, max: 70 }),
    (tilePx, rows, shift, widthPx, numbers, top) => {
      const next = (): number => numbers.next().value as number;
      const shiftPx = shift % tilePx;
      const paperTones = Uint16Array.from({ length: tilePx * rows }, () => Math.min(65534, next()));
      const tones = Array.from({ length: widthPx * 5 }, next);
      const toneAt = (x: number, y: number): number => tones[y * widthPx + x]!;
      const open = openTiled(layTile({ widthPx: tilePx, heightPx: rows, shiftPx }, paperTones), widthPx);
      const map = screenBands(() => (tone, y, bits, to) => open(tone, y + top, bits, to), {
        widthPx,
        heightPx: 5,
        toneAt,
      });
      const slow = new Uint8Array(map.data.length);
      for (let y = 0; y < 5; y++)
        for (let x = 0; x < widthPx; x++) {
          // walk to the tile's own rows one row of tiles at a time, as the shift is defined
          let [px, py] = [x, y + top];
          for (; py >= rows; py -= rows) px += shiftPx;
          for (; py < 0; py += rows) px -= shiftPx;
          const limit = paperTones[py * tilePx + (((px % tilePx) + tilePx) % tilePx)]!;
          if (toneAt(x, y) > limit) slow[y * map.strideBytes + (x >> 3)]! |= 0x80 >> (x % 8);
        }
      expect(map.data).toEqual(slow);
    },
  );
  fc.assert(law, { seed: 1, numRuns: 300 });
});
