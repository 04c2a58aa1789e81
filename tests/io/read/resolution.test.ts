import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { corpusPath, emptyFolder, openAny, openCorpus } from './pictures.ts';
import { tiffOf } from './tiff-maker.ts';

test('a resolution without an absolute unit is none', async () => {
  for (const file of [
    'good/gen-orient-1.jpg',
    'good/gen-orient-1.tif',
    'good/gen-flat-128.png',
    'good/ps-cdfn2c08.png',
  ]) {
    const { facts, close } = await openCorpus(file);
    close();
    expect([facts.ppiX, facts.ppiY], file).toEqual([null, null]);
  }
});

describe('resolution of a JPEG', () => {
  const plain = readFileSync(corpusPath('good/gen-icc-srgb.jpg'));
  const folder = emptyFolder();
  const ppiOf = async (bytes: Uint8Array) => {
    writeFileSync(join(folder, 'dense.jpg'), bytes);
    const { facts, close } = await openAny(join(folder, 'dense.jpg'));
    close();
    return [facts.ppiX, facts.ppiY];
  };
  // ITU-T T.871, 10.1: after the marker, length and name: version (2 bytes), units, density across, density down.
  const jfif = (units: number, x: number, y: number) => {
    const bytes = Buffer.from(plain);
    expect(bytes.toString('latin1', 6, 10)).toBe('JFIF');
    bytes.writeUInt8(units, 13);
    bytes.writeUInt16BE(x, 14);
    bytes.writeUInt16BE(y, 16);
    return bytes;
  };
  /** An EXIF block (CIPA DC-008, 4.5.4) before everything else; its tags are those of TIFF. */
  const exif = (bytes: Buffer, x: number, y: number, unit: number) => {
    const block = tiffOf({
      widthPx: 1,
      heightPx: 1,
      bits: [8],
      photometric: 1,
      data: new Uint8Array(1),
      tags: [
        { tag: 282, type: 5, values: [x, 1] },
        { tag: 283, type: 5, values: [y, 1] },
        { tag: 296, type: 3, values: [unit] },
      ],
    });
    const head = Buffer.from([0xff, 0xe1, 0, 0]);
    head.writeUInt16BE(block.length + 8, 2);
    return Buffer.concat([bytes.subarray(0, 2), head, Buffer.from('Exif\0\0'), block, bytes.subarray(2)]);
  };

  test('by JFIF, in inches and centimetres', async () => {
    expect(await ppiOf(jfif(1, 300, 150))).toEqual([300, 150]);
    expect(await ppiOf(jfif(2, 100, 100))).toEqual([254, 254]);
    expect(await ppiOf(jfif(0, 300, 300))).toEqual([null, null]);
    expect(await ppiOf(jfif(1, 0, 0))).toEqual([null, null]);
  });

  test('by EXIF where JFIF states none; 72 there means unknown', async () => {
    expect(await ppiOf(exif(jfif(0, 1, 1), 240, 240, 2))).toEqual([240, 240]);
    expect(await ppiOf(exif(jfif(0, 1, 1), 100, 100, 3))).toEqual([254, 254]);
    expect(await ppiOf(exif(jfif(0, 1, 1), 72, 72, 2))).toEqual([null, null]);
    expect(await ppiOf(exif(jfif(1, 300, 300), 240, 240, 2))).toEqual([300, 300]);
  });
});
