import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createBitmap } from '../../src/core/bitmap.ts';
import type { FormatDef } from '../../src/io/formats/contract.ts';
import { formats } from '../../src/io/formats/index.ts';
import { tiffWriter } from '../../src/io/formats/tiff.ts';
import { anyPlate, drawn, read, unnoticedChanges, write } from '../io/formats/plates.ts';

const all: [string, FormatDef][] = [
  ...Object.entries(formats),
  ['tiff WhiteIsZero', tiffWriter({ compression: 'deflate', photometric: 'WhiteIsZero' })],
  ['tiff Group 4', tiffWriter({ compression: 'group4' })],
  ['tiff Group 4 BlackIsZero', tiffWriter({ compression: 'group4', photometric: 'BlackIsZero' })],
  ['tiff BlackIsZero', tiffWriter({ compression: 'deflate', photometric: 'BlackIsZero' })],
];

const tiny = drawn(['1010110011', '0000000000', '1111111110', '0110011001', '1000000001'], { bandRows: 2 });

describe.each(all)('%s', (_name, format) => {
  test('reads back as the plate that was written', async () => {
    await fc.assert(
      fc.asyncProperty(anyPlate, async (plate) => {
        const { located, etch } = read(format, await write(format, plate), plate.head.fire);
        expect(etch).toEqual(plate.etch);
        expect(located.dpiX).toBe(format.storedDpi(plate.head.dpi, plate.head.widthPx));
        expect(located.dpiY).toBe(format.storedDpi(plate.head.dpi, plate.head.heightPx));
        expect(located.oneIsWhite).toBe(format.photometric(plate.head) === 'BlackIsZero');
      }),
      { seed: 1 },
    );
  });

  test('gives the same bytes in whatever order its bands are made', async () => {
    await fc.assert(
      fc.asyncProperty(anyPlate, fc.infiniteStream(fc.nat()), async (plate, shuffle) => {
        const bands = Math.ceil(plate.head.heightPx / plate.head.bandRows);
        const order = Array.from({ length: bands }, (_, i) => ({ i, key: shuffle.next().value as number }))
          .sort((a, b) => a.key - b.key)
          .map(({ i }) => i);
        expect(await write(format, plate, order)).toEqual(await write(format, plate));
      }),
      { seed: 2, numRuns: 30 },
    );
  });

  test('encodes rows that several threads share, and leaves them as they were', async () => {
    const plate = drawn(['101', '110', '011'], { bandRows: 2 });
    const shared = createBitmap(3, 3, true);
    shared.data.set(plate.etch.data);
    expect(await write(format, { ...plate, etch: shared })).toEqual(await write(format, plate));
    expect([...shared.data]).toEqual([...plate.etch.data]);
  });

  test('gives bands that can be moved to another thread', () => {
    const plate = drawn(['101', '110', '011'], { bandRows: 2 });
    const { bytes } = format.encodeBand(plate.etch.data.subarray(0, 2), plate.head, 0);
    expect(bytes.byteLength).toBe(bytes.buffer.byteLength);
    expect(() => structuredClone(bytes, { transfer: [bytes.buffer as ArrayBuffer] })).not.toThrow();
  });

  test('states the resolution so well that 600 mm are wrong by less than a third of a pixel', () => {
    // whole pixels a metre are the coarsest: half of one in 1/0.0254 · dpi, over 600 mm, is 0.3 pixel
    fc.assert(
      fc.property(fc.double({ min: 72, max: 2540, noNaN: true }), (dpi) => {
        const pixels = Math.round((600 / 25.4) * dpi);
        expect(Math.abs(pixels * (dpi / format.storedDpi(dpi, pixels) - 1))).toBeLessThan(1 / 3);
      }),
      { seed: 3 },
    );
  });

  test('tells one changed byte of its bands', async () => {
    const file = await write(format, tiny);
    for (const { offset, bytes } of read(format, file, 'dark').located.bands)
      expect(unnoticedChanges(format, file, offset, offset + bytes)).toEqual([]);
  });

  test('tells a file that is cut short or goes on', async () => {
    const file = await write(format, drawn(['101', '110', '011'], { bandRows: 1 }));
    for (let bytes = 0; bytes < file.length; bytes++)
      expect(() => read(format, file.subarray(0, bytes), 'dark'), `${bytes} bytes`).toThrow();
    expect(() => read(format, Buffer.concat([file, Uint8Array.of(0)]), 'dark')).toThrow();
  });
});

// a PDF has keys that make no difference to the plate; all else has one right value for every byte
describe.each(all.filter(([name]) => name !== 'pdf'))('%s', (_name, format) => {
  test('tells one changed byte anywhere in the file', async () => {
    const file = await write(format, tiny);
    expect(unnoticedChanges(format, file, 0, file.length)).toEqual([]);
  });
});
