import { inflateSync } from 'node:zlib';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { pdf } from '../../../src/io/formats/pdf.ts';
import { oracles } from './oracles.ts';
import { anyPlate, drawn, read, readerOf, unnoticedChanges, write } from './plates.ts';

const tiny = oracles.png_tiny.rows;
const textOfFile = async (...plate: Parameters<typeof drawn>): Promise<string> =>
  Buffer.from(await write(pdf, drawn(...plate))).toString('latin1');

test('C43 the page is the plate: 2362 by 1181 pixels at 600 dpi, one 1-bit grey image, no smoothing', async () => {
  const text = await textOfFile(Array(1181).fill('10000'.repeat(473).slice(0, 2362)), { dpi: 600 });
  // 2362 · 72 / 600 and 1181 · 72 / 600 points
  expect(text).toContain('/MediaBox [0 0 283.44 141.72]');
  expect(text.match(/\/Subtype \/Image/g)).toHaveLength(1);
  for (const entry of [
    '/Width 2362',
    '/Height 1181',
    '/BitsPerComponent 1\n',
    '/ColorSpace /DeviceGray',
    '/Interpolate false',
  ])
    expect(text).toContain(entry);
  expect(text).not.toMatch(/BlackIs1|\/Decode|ImageMask|Indexed/);
});

test.each([
  ['dark', ['5300', 'ffc0', '0040']],
  ['light', ['acc0', '0000', 'ff80']],
] as const)(
  'the stream of the picture of 10 by 3 pixels, %s firing, is one zlib stream of its rows',
  async (fire, rows) => {
    const file = Buffer.from(await write(pdf, drawn(tiny, { fire, bandRows: 1 })));
    const at = file.indexOf('stream\n', file.indexOf('/Subtype /Image')) + 7;
    const end = file.indexOf('\nendstream', at);
    expect(inflateSync(file.subarray(at, end)).toString('hex')).toBe(rows.join(''));
  },
);

test('holds no clock: two runs give the same bytes', async () => {
  const first = await write(pdf, drawn(tiny));
  await new Promise((resolve) => setTimeout(resolve, 1100));
  expect(await write(pdf, drawn(tiny))).toEqual(first);
  expect(Buffer.from(first).toString('latin1')).toMatch(/D:19700101000000Z/);
});

test.each([
  ['/MediaBox [', ''],
  ['/Contents ', ''],
  ['/Kids [', ''],
  ['startxref\n', ''],
  [' cm /Plate Do', ''],
  ['/Width ', '/Type /XObject'],
  ['/Height ', '/Type /XObject'],
  ['/ColorSpace /D', '/Type /XObject'],
  ['/BitsPerComponent ', '/Type /XObject'],
  ['/Interpolate f', '/Type /XObject'],
  ['/Filter /F', '/Type /XObject'],
  ['/Length ', '/Type /XObject'],
  ['/XXBands [', '/Type /XObject'],
  ['/XXBandRows ', '/Type /XObject'],
])('tells a change of %s', async (name, behind) => {
  const file = await write(pdf, drawn(tiny, { bandRows: 2 }));
  const bytes = Buffer.from(file);
  const at = bytes.indexOf(name, bytes.indexOf(behind));
  expect(at).toBeGreaterThan(0);
  // the name and the first character of its value
  expect(unnoticedChanges(pdf, file, at, at + name.length + 1)).toEqual([]);
});

test('the image is laid over the whole page and turned upright', async () => {
  // 10 · 72 / 500 and 3 · 72 / 500 points; the y axis of the page points down
  expect(await textOfFile(tiny)).toContain(
    'stream\n1 0 0 -1 0 0.432 cm\nq 1.44 0 0 -0.432 0 0.432 cm /Plate Do Q\n\nendstream',
  );
});

test('tells a wrong checksum, of a band and of the stream', async () => {
  const file = await write(pdf, drawn(tiny, { bandRows: 2 }));
  const { located } = read(pdf, file, 'dark');
  const last = located.bands.at(-1)!;
  const end = last.offset + last.bytes;
  expect(unnoticedChanges(pdf, file, end, end + 4)).toEqual([]);
  const bytes = readerOf(file)(last.offset, last.bytes);
  expect(() => pdf.decodeBand(bytes, located, { ...last, adler: last.adler! + 1 })).toThrow('Adler-32');
});

test('its bands lie in the file without gaps', () =>
  fc.assert(
    fc.asyncProperty(anyPlate, async (plate) => {
      const file = await write(pdf, plate);
      const { bands } = read(pdf, file, plate.head.fire).located;
      for (const [i, band] of bands.slice(1).entries())
        expect(band.offset).toBe(bands[i]!.offset + bands[i]!.bytes);
      expect(Buffer.from(readerOf(file)(bands[0]!.offset - 2, 2)).toString('hex')).toBe('7801');
    }),
    { seed: 1, numRuns: 20 },
  ));
