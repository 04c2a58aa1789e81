import fc from 'fast-check';
import { expect, test } from 'vitest';
import { keepingInk } from '../../../src/core/proof/kept-ink.ts';

test.each([false, true])(
  'ink is kept as the nearest byte of each share, and nothing beside its row is touched: plain loops %s',
  (plain) => {
    // shares on both sides of where one byte gives way to the next
    const limit = fc.nat(254).map((byte) => Math.fround((byte + 0.5) / 255));
    const share = fc.oneof(
      fc.float({ min: 0, max: 1, noNaN: true }),
      limit,
      limit.map((at) => Math.fround(at - 2 ** -26)),
      fc.constantFrom(0, 1, Math.fround(0.49999997 / 255)),
    );
    fc.assert(
      fc.property(fc.array(share, { minLength: 1, maxLength: 40 }), fc.nat(3), (shares, y) => {
        const widthPx = shares.length;
        const size = { widthPx, heightPx: 4 };
        const bytes = new Uint8Array(new SharedArrayBuffer(4 * widthPx)).fill(77);
        const plane = keepingInk({ ...size, rows: (_, into) => into.set(shares) }, { ...size, bytes }, plain);
        const row = new Float32Array(widthPx);
        plane.rows(y, row);
        expect([...row]).toEqual(shares);
        const wanted = Array<number>(4 * widthPx).fill(77);
        wanted.splice(y * widthPx, widthPx, ...shares.map((one) => Math.floor(one * 255 + 0.5)));
        expect([...bytes]).toEqual(wanted);
      }),
      { seed: 23, numRuns: 200 },
    );
  },
);
