import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import * as UTIF from 'utif';
import { describe, expect, test } from 'vitest';
import { complementRow, getBit, setBit, strideFor } from '../../../src/core/bitmap.ts';
import { RUN_WORDS } from '../../../src/io/formats/ccitt-codes.ts';
import { decodeGroup4 } from '../../../src/io/formats/ccitt-decode.ts';
import { encodeGroup4, findChanges } from '../../../src/io/formats/ccitt-encode.ts';
import { tiffWriter } from '../../../src/io/formats/tiff.ts';
import { hex } from './oracles.ts';
import { drawn, textOf, write } from './plates.ts';

/** Group 4 as libtiff packs it; a "1" of these drawings is white in the picture. */
const byLibtiff: Record<string, { g4_hex: string }> = JSON.parse(
  readFileSync(new URL('../../../fixtures/oracles/formats_ccitt_pdf.json', import.meta.url), 'utf8'),
);
const drawings = {
  white8x8: Array(8).fill('11111111'),
  black8x8: Array(8).fill('00000000'),
  half8x2: Array(2).fill('11110000'),
  tiny10x3: ['1010110011', '0000000000', '1111111110'],
};

const runsOf = (runs: readonly number[]): string => runs.map((run, i) => String(i % 2).repeat(run)).join('');

describe('as libtiff writes it', () => {
  for (const [name, rows] of Object.entries(drawings))
    test.each([0, 1])(`${name}, photometric %i`, (photometric) => {
      const { etch } = drawn(rows);
      const stored = Uint8Array.from(etch.data);
      if (photometric === 0)
        for (let y = 0; y < etch.heightPx; y++) complementRow(stored, y * etch.strideBytes, etch.widthPx);
      const expected = byLibtiff[`${name} photometric ${photometric}`]!.g4_hex;
      expect(hex(encodeGroup4(stored, etch.widthPx))).toBe(expected);
      expect(decodeGroup4(Buffer.from(expected, 'hex'), etch.widthPx, etch.heightPx)).toEqual(stored);
    });
});

test.each([
  ['three to the right', '11111110', '0000011'],
  ['three to the left', '10000000', '0000010'],
  ['four to the right, as runs', '11111111', '001' + '10011' + '0000110111'],
])('a change that moves %s is coded by the table of T.6', (_name, second, word) => {
  // bit 0 is white: 4 white and 4 black, then the second row; a last V0 where it was not yet closed
  const { etch } = drawn(['00001111', second.replace(/./g, (bit) => (bit === '1' ? '0' : '1'))]);
  const closed = word.startsWith('001') ? '' : '1';
  const bits = `001${'1011'}${'011'}${word}${closed}${'000000000001'.repeat(2)}`;
  const bytes = bits.padEnd(Math.ceil(bits.length / 8) * 8, '0').match(/.{8}/g)!;
  expect(hex(encodeGroup4(etch.data, 8))).toBe(
    hex(Uint8Array.from(bytes, (byte) => Number.parseInt(byte, 2))),
  );
});

describe('code words', () => {
  test.each(['white', 'black'] as const)('no %s word begins another', (colour) => {
    const words = RUN_WORDS[colour];
    expect(words).toHaveLength(64 + 27 + 13);
    for (const word of words)
      expect(
        words.filter((other) => other.startsWith(word)),
        word,
      ).toEqual([word]);
  });
});

/** Rows that lie close to each other, as halftones and drawings do, and now and then do not. */
const similarRows = fc
  .record({
    widthPx: fc.constantFrom(1, 7, 8, 9, 31, 32, 33, 64, 100),
    seeds: fc.array(
      fc.tuple(fc.array(fc.nat({ max: 100 }), { maxLength: 12 }), fc.constantFrom('new', 'same', 'shift')),
      {
        minLength: 1,
        maxLength: 8,
      },
    ),
  })
  .map(({ widthPx, seeds }) => {
    let row = '0'.repeat(widthPx);
    return seeds.map(([flips, kind], y) => {
      const marks = [...row];
      const shifted = kind === 'shift' ? [marks.at(-1)!, ...marks.slice(0, -1)] : marks;
      for (const x of kind === 'same' ? flips.slice(0, 1) : flips)
        for (let i = x; i < widthPx && kind === 'new'; i++) shifted[i] = shifted[i] === '1' ? '0' : '1';
      for (const x of flips.slice(0, y % 3)) if (x < widthPx) shifted[x] = shifted[x] === '1' ? '0' : '1';
      row = shifted.join('');
      return row;
    });
  });

test('decodes to what was encoded', () => {
  fc.assert(
    fc.property(similarRows, (rows) => {
      const { etch } = drawn(rows);
      const packed = encodeGroup4(etch.data, etch.widthPx);
      expect(decodeGroup4(packed, etch.widthPx, etch.heightPx)).toEqual(etch.data);
    }),
    { seed: 1, numRuns: 500 },
  );
});

test('finds every change of colour, as looking at each pixel does', () => {
  fc.assert(
    fc.property(similarRows, (rows) => {
      const { etch } = drawn(rows);
      const y = etch.heightPx - 1;
      const slow = [];
      for (let x = 0, before = 0; x < etch.widthPx; x++) {
        const bit = getBit(etch, x, y);
        if (bit !== before) slow.push(x);
        before = bit;
      }
      const fast = new Int32Array(etch.widthPx + 5);
      findChanges(etch.data, y * etch.strideBytes, etch.widthPx, fast);
      expect([...fast.subarray(0, slow.length + 4)]).toEqual([...slow, ...Array(4).fill(etch.widthPx)]);
    }),
    { seed: 2 },
  );
});

/** Rows with a run of every length that has a code of its own, and the ones around the repeated longest. */
const everyRun = [
  ...Array(64).keys(),
  ...Array.from({ length: 45 }, (_, i) => 64 * (i + 1)),
  2623,
  2624,
  5183,
  5184,
];

test('a reader of its own kind sees every run length in both colours', async () => {
  const widthPx = 5200 * 2;
  const rows = everyRun.flatMap((run) => [
    runsOf([run, widthPx - run]),
    '0'.repeat(widthPx),
    runsOf([1, run, widthPx - 1 - run]),
    '1'.repeat(widthPx),
  ]);
  const file = Uint8Array.from(
    await write(
      tiffWriter({ compression: 'group4', photometric: 'BlackIsZero' }),
      drawn(rows, { fire: 'light' }),
    ),
  );
  const [page] = UTIF.decode(file.buffer);
  UTIF.decodeImage(file.buffer, page!);
  const stored = {
    ...drawn(['0']).etch,
    widthPx,
    heightPx: rows.length,
    strideBytes: strideFor(widthPx),
    data: page!.data,
  };
  expect(textOf(stored).findIndex((row, y) => row !== rows[y])).toBe(-1);
});

test.each([
  ['alternating', (x: number) => x % 2],
  ['in pairs', (x: number, y: number) => ((x + y) >> 1) % 2],
  ['at random', (x: number, y: number) => (Math.imul(x * 7919 + y * 104_729, 0x9e3779b1) >>> 20) & 1],
  ['moving three a row', (x: number, y: number) => ((x + 3 * y) >> 2) % 2],
])('the worst pictures, %s, do not outgrow their memory', (_name, bitAt) => {
  const plate = drawn([...Array(40)].map(() => '0'.repeat(333)));
  for (let y = 0; y < 40; y++)
    for (let x = 0; x < 333; x++) setBit(plate.etch, x, y, bitAt(x, y) === 1 ? 1 : 0);
  expect(decodeGroup4(encodeGroup4(plate.etch.data, 333), 333, 40)).toEqual(plate.etch.data);
});

test.each([
  ['a code that is none', '0000000000', 'no code word'],
  ['a row that is missing', 'ff001001', 'no code word at bit 8, in row 8'],
  ['a row too many', 'ffc0040040', 'does not end'],
  ['a run that leaves the row', '2530', 'leaves the row'],
  ['a run of nothing', '26a1b8', 'leaves the row'],
  ['a byte of zeros behind the end', 'ff8008008000', 'goes on'],
  ['something behind the end', 'ff80080080aa', 'goes on'],
])('refuses %s', (_name, bytes, message) => {
  expect(() => decodeGroup4(Buffer.from(bytes, 'hex'), 8, 9)).toThrow(message);
});
