import fc from 'fast-check';
import { expect, test } from 'vitest';
import { INK_STEPS, openInkPainter } from '../../../src/core/proof/ink-colours.ts';

/** Colours that tell every share from the one beside it. */
const colours = Int32Array.from(
  { length: INK_STEPS + 1 },
  (_, step) => Math.imul(step, 0x9e3779b1) & 0xffffff,
);
const colourOf = (share: number): number[] => {
  const colour = colours[Math.floor(share * INK_STEPS + 0.5)]!;
  return [colour & 255, (colour >> 8) & 255, colour >> 16];
};
/** Bytes in front of what is painted and behind it, which are not to be touched. */
const AROUND = 5;
const painted = (pixels: readonly number[][]): number[] => [
  ...Array<number>(AROUND).fill(7),
  ...pixels.flat(),
  ...Array<number>(AROUND).fill(7),
];

test.each([false, true])('every pixel of a row has the colour of its ink: plain loops %s', (plain) => {
  // shares on both sides of where one colour gives way to the next
  const limit = fc.nat(INK_STEPS - 1).map((step) => (step + 0.5) / INK_STEPS);
  const share = fc.oneof(
    fc.float({ min: 0, max: 1, noNaN: true }),
    limit.map((at) => Math.fround(at)),
    limit.map((at) => Math.fround(at - 2 ** -26)),
    fc.constantFrom(0, 1, Math.fround(0.49999997 / INK_STEPS)),
  );
  fc.assert(
    fc.property(fc.array(share, { minLength: 1, maxLength: 40 }), (shares) => {
      const bytes = new Uint8Array(shares.length * 3 + 2 * AROUND).fill(7);
      openInkPainter(colours, shares.length, plain).paint(Float32Array.from(shares), bytes, AROUND);
      expect([...bytes]).toEqual(painted(shares.map(colourOf)));
    }),
    { seed: 21, numRuns: 200 },
  );
});

test.each([false, true])(
  'ink that was kept is painted as its shares are, one row after the other: plain loops %s',
  (plain) => {
    const side = fc.integer({ min: 0, max: 9 });
    const row = fc.uint8Array({ minLength: 1, maxLength: 40 });
    fc.assert(
      fc.property(row, side, side, side, (ink, left, right, before) => {
        const width = left + ink.length + right;
        const painter = openInkPainter(colours, width, plain);
        const kept = new Uint8Array(new SharedArrayBuffer(before + 2 * ink.length));
        kept.set(ink, before);
        kept.set(ink.toReversed(), before + ink.length);
        const none = (count: number): number[][] => Array.from({ length: count }, () => colourOf(0));
        const inked = [...ink].map((byte) => colourOf(Math.fround(byte / 255)));
        const rows: [from: number, count: number, pixels: number[][]][] = [
          [before, ink.length, [...none(left), ...inked, ...none(right)]],
          [before + ink.length, ink.length, [...none(left), ...inked.toReversed(), ...none(right)]],
          [0, 0, none(width)],
        ];
        for (const [from, count, pixels] of rows) {
          const bytes = new Uint8Array(width * 3 + 2 * AROUND).fill(7);
          painter.paintKept(kept, from, count, left, bytes, AROUND);
          expect([...bytes]).toEqual(painted(pixels));
        }
      }),
      { seed: 22, numRuns: 200 },
    );
  },
);

test.each([false, true])('shares are painted the same behind ink that was kept: plain loops %s', (plain) => {
  for (const width of [1, 2, 3, 5]) {
    const painter = openInkPainter(colours, width, plain);
    const bytes = new Uint8Array(width * 3 + 2 * AROUND).fill(7);
    // as a float's highest byte, it makes one far above a share
    const kept = new Uint8Array(8 + width).fill(0x44);
    for (let from = 0; from < 8; from++) {
      painter.paintKept(kept, from, width, 0, bytes, AROUND);
      painter.paint(new Float32Array(width).fill(0.5), bytes, AROUND);
      expect([...bytes]).toEqual(painted(Array.from({ length: width }, () => colourOf(0.5))));
    }
  }
});
