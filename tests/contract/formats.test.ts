import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createBitmap } from '../../src/core/bitmap.ts';
import type { FormatDef, ToneStore } from '../../src/io/formats/contract.ts';
import { formats } from '../../src/io/formats/index.ts';
import { tiffWriter } from '../../src/io/formats/tiff.ts';
import { anyPlate, drawn, read, unnoticedChanges, write } from '../io/formats/plates.ts';
import { anyTonePlate, readTone, toned, unnoticedToneChanges, writeTone } from '../io/formats/tones.ts';

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

const ofTone = Object.entries<FormatDef>(formats).flatMap(([name, { tone }]): [string, ToneStore][] =>
  tone ? [[name, tone]] : [],
);

test('tone can be stored, and by no format that does not say how', () => {
  expect(ofTone.map(([name]) => name)).toEqual(['png', 'tiff']);
});

describe.each(ofTone)('%s, tone', (name, store) => {
  const { storedDpi } = formats[name as keyof typeof formats];

  test('reads back as the plate that was written', () => {
    fc.assert(
      fc.property(anyTonePlate, (plate) => {
        const { located, etch } = readTone(store, writeTone(store, plate), plate.head.fire);
        expect(etch).toEqual(plate.etch);
        expect([located.widthPx, located.heightPx]).toEqual([plate.head.widthPx, plate.head.heightPx]);
        expect(located.dpiX).toBe(storedDpi(plate.head.dpi, plate.head.widthPx));
        expect(located.oneIsWhite).toBe(store.photometric(plate.head) === 'BlackIsZero');
      }),
      { seed: 1 },
    );
  });

  test('gives the same bytes in whatever order its bands are made, and leaves the rows as they were', () => {
    const plate = toned(
      [
        [0, 1, 2],
        [127, 128, 129],
        [253, 254, 255],
      ],
      { bandRows: 1 },
    );
    const before = plate.etch.slice();
    expect(writeTone(store, plate, [2, 0, 1])).toEqual(writeTone(store, plate));
    expect(plate.etch).toEqual(before);
  });

  test('gives bands that can be moved to another thread, apart from the rows', () => {
    const { head, etch } = toned([
      [0, 1],
      [2, 3],
    ]);
    for (const fire of ['dark', 'light'] as const) {
      const { bytes } = store.encodeBand(etch, { ...head, fire }, 0);
      expect(bytes.byteLength).toBe(bytes.buffer.byteLength);
      expect(bytes.buffer).not.toBe(etch.buffer);
      expect(() => structuredClone(bytes, { transfer: [bytes.buffer as ArrayBuffer] })).not.toThrow();
    }
  });

  test('grows by what it is given: its front stays as long as it began', () => {
    const { head } = toned([[0], [1], [2]], { bandRows: 1 });
    const grown = store.grow(head);
    for (const [row, value] of [0, 1, 2].entries())
      grown.put(store.encodeBand(Uint8Array.of(value), head, row));
    expect(grown.front().length).toBe(grown.start.length);
  });

  test('tells one changed byte anywhere, a cut and a longer file', () => {
    const file = writeTone(
      store,
      toned(
        [
          [0, 9, 200, 255],
          [128, 1, 2, 3],
          [7, 7, 7, 7],
        ],
        { bandRows: 2 },
      ),
    );
    expect(unnoticedToneChanges(store, file)).toEqual([]);
    for (let bytes = 0; bytes < file.length; bytes++)
      expect(() => readTone(store, file.subarray(0, bytes), 'dark'), `${bytes} bytes`).toThrow();
    expect(() => readTone(store, Buffer.concat([file, Uint8Array.of(0)]), 'dark')).toThrow();
  });

  test('is not mistaken for marks, nor marks for tone', async () => {
    const format: FormatDef = formats[name as keyof typeof formats];
    const file = writeTone(store, toned([[0, 255, 0, 255, 0, 255, 0, 255]]));
    expect(() => read(format, file, 'dark')).toThrow();
    expect(() => readTone(store, Buffer.from([]), 'dark')).toThrow();
    const marks = await write(format, drawn(['10101010']));
    expect(() => readTone(store, marks, 'dark')).toThrow();
  });
});
