import { closeSync, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Orientation, turnOf, uprightSize } from '../../src/core/geometry-orientation.ts';
import { openRows } from '../../src/io/rows.ts';
import type { Scratch } from '../../src/io/scratch.ts';
import { emptyFolder } from './read/pictures.ts';

const folder = emptyFolder();
const orientations: readonly Orientation[] = [1, 2, 3, 4, 5, 6, 7, 8];

const sample = (x: number, y: number) => (x * 7919 + y * 104_729) & 0xffff;

function drawn(widthPx: number, heightPx: number, bytesPerSample: 1 | 2): Scratch {
  const fd = openSync(join(folder, 'grey'), 'w+');
  const samples =
    bytesPerSample === 1 ? new Uint8Array(widthPx * heightPx) : new Uint16Array(widthPx * heightPx);
  for (let at = 0; at < samples.length; at++) samples[at] = sample(at % widthPx, Math.floor(at / widthPx));
  writeSync(fd, new Uint8Array(samples.buffer), 0, samples.byteLength, 64);
  return { fd, widthPx, heightPx, bytesPerSample, offsetBytes: 64 };
}

/** Reads rows in the given order and compares each sample with where the orientation says it lies. */
function check(
  scratch: Scratch,
  orientation: Orientation,
  order: readonly number[],
  stripBytes?: number,
): void {
  const { widthPx, heightPx } = uprightSize(orientation, scratch);
  const { transposed, flippedX, flippedY } = turnOf(orientation);
  const rows = openRows(scratch, orientation, stripBytes);
  expect([rows.widthPx, rows.heightPx]).toEqual([widthPx, heightPx]);
  const mask = scratch.bytesPerSample === 1 ? 0xff : 0xffff;
  const row = rows.newRow();
  for (const y of order) {
    rows.read(y, row);
    const wrong = row.findIndex((seen, x) => {
      const [u, v] = transposed ? [y, x] : [x, y];
      const stored = sample(flippedX ? scratch.widthPx - 1 - u : u, flippedY ? scratch.heightPx - 1 - v : v);
      return seen !== (stored & mask);
    });
    expect(wrong, `orientation ${orientation}, row ${y}, first wrong sample`).toBe(-1);
  }
}

test('rows are upright for all orientations, sizes and depths, in any order', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 80 }),
      fc.integer({ min: 1, max: 80 }),
      fc.constantFrom(...orientations),
      fc.constantFrom(1 as const, 2 as const),
      fc.infiniteStream(fc.nat()),
      (widthPx, heightPx, orientation, bytesPerSample, picks) => {
        const scratch = drawn(widthPx, heightPx, bytesPerSample);
        const rowsSeen = uprightSize(orientation, scratch).heightPx;
        const order = [...picks.take(rowsSeen)].map((pick) => pick % rowsSeen);
        check(scratch, orientation, [...order, ...Array(rowsSeen).keys()]);
        closeSync(scratch.fd);
      },
    ),
    { seed: 1, numRuns: 120 },
  );
});

test.each([1, 2] as const)(
  'rows beyond one block and one strip are right, %i bytes a sample',
  (bytesPerSample) => {
    const scratch = drawn(1500, 1100, bytesPerSample);
    for (const orientation of orientations) {
      const last = uprightSize(orientation, scratch).heightPx - 1;
      check(scratch, orientation, [0, last, 255, 256, 257, 698, 699, 700, last - 1, 1]);
    }
    closeSync(scratch.fd);
  },
);

test.each([1, 2] as const)(
  'strips of a few columns, read as short runs, are right, %i bytes a sample',
  (bytesPerSample) => {
    const scratch = drawn(400, 300, bytesPerSample);
    for (const orientation of orientations.slice(4))
      check(scratch, orientation, [0, 399, 16, 15, 17, 383, 384], 1);
    closeSync(scratch.fd);
  },
);

test('a row outside the picture, or of the wrong kind, is a mistake of ours', () => {
  const scratch = drawn(4, 3, 1);
  const rows = openRows(scratch, 1);
  expect(() => rows.read(3, rows.newRow())).toThrow(RangeError);
  expect(() => rows.read(-1, rows.newRow())).toThrow(RangeError);
  expect(() => rows.read(0, new Uint8Array(3))).toThrow(RangeError);
  expect(() => rows.read(0, new Uint16Array(4))).toThrow(RangeError);
  closeSync(scratch.fd);
});

test('a scratch that ends early is told, not filled in', () => {
  const scratch = { ...drawn(4, 3, 1), heightPx: 9 };
  const rows = openRows(scratch, 1);
  expect(() => rows.read(8, rows.newRow())).toThrow('ended early');
  closeSync(scratch.fd);
});
