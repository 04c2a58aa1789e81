import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { greyOf, greyOfSrgb, openAny } from './pictures.ts';
import { type Tag, tiffOf } from './tiff-maker.ts';
import { codes, grey4, openedTiff as opened, rowOf, words } from './tiffs.ts';

describe('samples', () => {
  test('white is zero, black is zero (TIFF 6.0, tag 262)', async () => {
    expect(await rowOf({ photometric: 1 })).toEqual([0, 85, 170, 255]);
    expect(await rowOf({ photometric: 0 })).toEqual([255, 170, 85, 0]);
    expect(await rowOf({ photometric: 0, widthPx: 2, bits: [16], data: words(0, 65535) })).toEqual([
      65535, 0,
    ]);
  });

  test('bits in either fill order (tag 266)', async () => {
    const bits = { widthPx: 8, bits: [1], data: new Uint8Array([0b10110010]) };
    const seen = [255, 0, 255, 255, 0, 0, 255, 0];
    expect(await rowOf(bits)).toEqual(seen);
    expect(await rowOf({ ...bits, tags: [{ tag: 266, type: 3, values: [2] }] })).toEqual([...seen].reverse());
  });

  test('palette pictures by their real colours (tag 320)', async () => {
    const map = [65535, 0, 0, 32896, ...Array(12).fill(0)].concat(
      [0, 65535, 0, 32896, ...Array(12).fill(0)],
      [0, 0, 65535, 32896, ...Array(12).fill(0)],
    );
    const row = await rowOf({
      bits: [4],
      photometric: 3,
      data: new Uint8Array([0x01, 0x23]),
      tags: [{ tag: 320, type: 3, values: map }],
    });
    expect(row).toEqual([127, 220, 76, 128]);
  });

  test.each([
    ['Lab colour', { photometric: 8, bits: [8, 8, 8], data: new Uint8Array(12) }],
    ['12 bits a channel', { photometric: 1, bits: [12], data: new Uint8Array(6) }],
  ])('%s is named, not called damaged', async (kind, page) => {
    await expect(rowOf(page)).rejects.toMatchObject({
      code: 'picture-not-supported',
      message: expect.stringContaining(kind),
    });
  });

  test('floating-point, spare and unspecified channels', async () => {
    const float = tiffOf({
      ...grey4,
      bits: [32],
      data: new Uint8Array(16),
      tags: [{ tag: 339, type: 3, values: [3] }],
    });
    await expect(opened(float)).rejects.toMatchObject({ code: 'picture-not-supported' });
    const five = { widthPx: 1, bits: [8, 8, 8, 8, 8], photometric: 2, data: new Uint8Array(5) };
    await expect(rowOf({ ...five, tags: [{ tag: 338, type: 3, values: [0, 0] }] })).rejects.toMatchObject({
      code: 'picture-not-supported',
    });
    // TIFF 6.0, section 18: an unspecified extra sample is no transparency.
    const mask = {
      widthPx: 2,
      bits: [8, 8, 8, 8],
      photometric: 2,
      data: new Uint8Array([9, 9, 9, 0, 50, 50, 50, 255]),
    };
    const { row, facts } = await opened(
      tiffOf({ ...grey4, ...mask, tags: [{ tag: 338, type: 3, values: [0] }] }),
    );
    expect(row).toEqual([9, 50]);
    expect(facts.alpha).toBe(false);
    expect(codes(facts.cautions)).toContain('picture-extra-channel');
  });

  test.each([1, 2])('transparency of either kind, %i (tag 338), 8 and 16 bit', async (kind) => {
    const tags: Tag[] = [{ tag: 338, type: 3, values: [kind] }];
    const shape = { widthPx: 3, photometric: 2, tags };
    // Half red, nothing, opaque grey; associated colours are stored multiplied.
    const red8 = kind === 1 ? 128 : 255;
    const eight = new Uint8Array([red8, 0, 0, 128, 0, 0, 0, 0, 77, 77, 77, 255]);
    const half = greyOfSrgb([255, 255 * (127 / 255), 255 * (127 / 255)]);
    const row8 = await rowOf({ ...shape, bits: [8, 8, 8, 8], data: eight });
    expect(Math.abs(row8[0]! - half)).toBeLessThanOrEqual(1);
    expect(row8.slice(1)).toEqual([255, 77]);
    const sixteen = words(...Array.from(eight, (code) => code * 257));
    const row16 = await rowOf({ ...shape, bits: [16, 16, 16, 16], data: sixteen });
    expect(Math.abs(row16[0]! - half * 257)).toBeLessThanOrEqual(80);
    expect(row16.slice(1)).toEqual([65535, 77 * 257]);
  });

  test('16-bit grey with transparency: clear is exactly paper', async () => {
    const tags: Tag[] = [{ tag: 338, type: 3, values: [2] }];
    expect(
      await rowOf({ widthPx: 3, bits: [16, 16], data: words(0, 0, 1234, 65535, 0, 32768), tags }),
    ).toEqual([65535, 1234, 32767]);
  });

  test('16-bit colours follow the grey rule to the code', async () => {
    const colours = [
      [65535, 0, 0],
      [0, 65535, 0],
      [0, 0, 65535],
      [12345, 54321, 3000],
      [300, 200, 100],
      [777, 777, 777],
    ];
    const row = await rowOf({
      widthPx: 6,
      bits: [16, 16, 16],
      photometric: 2,
      data: words(...colours.flat()),
    });
    for (const [x, rgb] of colours.entries()) {
      expect(Math.abs(row[x]! - 257 * greyOfSrgb(rgb.map((code) => code / 257)))).toBeLessThanOrEqual(
        257 / 2,
      );
    }
    expect(row[5]).toBe(777);
  });
});

describe('resolution', () => {
  const dense = (x: number, y: number, unit: number[]): Tag[] => [
    { tag: 282, type: 5, values: [x, 1] },
    { tag: 283, type: 5, values: [y, 1] },
    ...unit.map((value): Tag => ({ tag: 296, type: 3, values: [value] })),
  ];
  test.each([
    [[2], 300, 300],
    [[3], 762, 762],
    [[1], null, null],
    [[], null, null],
  ])('unit %j (tag 296)', async (unit, ppiX, ppiY) => {
    const { facts } = await opened(tiffOf({ ...grey4, tags: dense(300, 300, unit) }));
    expect(facts).toMatchObject({ ppiX, ppiY });
  });

  test('unequal, and turned with the picture', async () => {
    const tags: Tag[] = [...dense(300, 150, [2]), { tag: 274, type: 3, values: [6] }];
    const { facts } = await opened(tiffOf({ ...grey4, tags }));
    expect(facts).toMatchObject({ ppiX: 150, ppiY: 300, uprightWidthPx: 1, uprightHeightPx: 4 });
    expect(facts.sizeMm?.widthMm).toBeCloseTo(25.4 / 150, 9);
    expect(facts.sizeMm?.heightMm).toBeCloseTo((25.4 * 4) / 300, 9);
    expect(codes(facts.cautions)).toContain('picture-resolution-unequal');
  });

  test('nought is none', async () => {
    expect((await opened(tiffOf({ ...grey4, tags: dense(0, 0, [2]) }))).facts.ppiX).toBeNull();
  });
});

describe('pages', () => {
  const two = tiffOf(
    {
      ...grey4,
      tags: [
        { tag: 282, type: 5, values: [100, 1] },
        { tag: 283, type: 5, values: [100, 1] },
        { tag: 296, type: 3, values: [2] },
      ],
    },
    { ...grey4, widthPx: 2, data: new Uint8Array([10, 250]), tags: [{ tag: 274, type: 3, values: [2] }] },
  );
  test('the first is used, and the number told', async () => {
    const { row, facts } = await opened(two);
    expect(row).toEqual([0, 85, 170, 255]);
    expect(facts).toMatchObject({ frames: 2, frame: 1, ppiX: 100, widthPx: 4 });
    expect(facts.cautions).toEqual([expect.objectContaining({ code: 'picture-frames', value: 2 })]);
  });

  test('another may be chosen, with its own size, resolution and orientation', async () => {
    const { row, facts } = await opened(two, { page: 2 });
    expect(row).toEqual([250, 10]);
    expect(facts).toMatchObject({ frames: 2, frame: 2, ppiX: null, widthPx: 2, orientation: 2 });
  });

  test('one that is not there is a mistake of use', async () => {
    await expect(opened(two, { page: 3 })).rejects.toMatchObject({ kind: 'usage', code: 'no-such-page' });
  });
});

test('C29 a TIFF whose pixels end early is refused', async () => {
  const whole = tiffOf({ ...grey4, heightPx: 400, data: new Uint8Array(1600).fill(99) });
  expect((await opened(whole)).row).toEqual([99, 99, 99, 99]);
  await expect(opened(whole.subarray(0, whole.length - 500))).rejects.toMatchObject({
    code: 'picture-corrupt',
  });
});

describe('CMYK', () => {
  const inks = [0, 0, 0, 255, 0, 0, 0, 0, 255, 255, 255, 255, 0, 0, 0, 128];
  test.each([8, 16])('%i bit: pure black ink is the black code, no ink is the white code', async (bits) => {
    const data = bits === 8 ? new Uint8Array(inks) : words(...inks.map((code) => code * 257));
    const page = { widthPx: 4, bits: Array(4).fill(bits), photometric: 5, data };
    const { row, facts } = await opened(tiffOf({ ...grey4, ...page }));
    expect(row[0]).toBe(facts.blackCode);
    expect(row[1]).toBe(facts.whiteCode);
    expect(row[2]).toBeLessThanOrEqual(facts.blackCode);
    expect(row[3]).toBeGreaterThan(facts.blackCode);
    expect(facts.depthBits).toBe(8);
    expect(codes(facts.cautions)).toContain('picture-cmyk-no-profile');
  });

  test.each(['cmyk.jpg', 'ycck.jpg'])('%s: black ink left, paper right', async (file) => {
    const picture = await openAny(join(import.meta.dirname, '../../../fixtures/pictures', file));
    const { blackCode, whiteCode } = picture.facts;
    const grey = greyOf(picture);
    expect([grey.at(5, 5), grey.at(25, 5)]).toEqual([blackCode, whiteCode]);
    expect(whiteCode).toBe(255);
    expect(blackCode).toBeLessThan(60);
  });
});
