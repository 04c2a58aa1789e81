import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { emptyFolder, greyOf, greyOfSrgb, type Opening, openAny } from './pictures.ts';
import { type Page, type Tag, tiffOf } from './tiff-maker.ts';

const folder = emptyFolder();
const grey4: Page = {
  widthPx: 4,
  heightPx: 1,
  bits: [8],
  photometric: 1,
  data: new Uint8Array([0, 85, 170, 255]),
};
const words = (...values: number[]) => new Uint8Array(Uint16Array.from(values).buffer);

async function opened(bytes: Uint8Array, opening?: Opening) {
  const file = join(folder, 'made.tif');
  writeFileSync(file, bytes);
  const picture = await openAny(file, opening);
  const grey = greyOf(picture);
  return { facts: picture.facts, row: Array.from({ length: grey.widthPx }, (_, x) => grey.raw(x, 0)) };
}

const rowOf = async (page: Partial<Page>) => (await opened(tiffOf({ ...grey4, ...page }))).row;
const codes = (cautions: readonly { code: string }[]) => cautions.map(({ code }) => code);

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
  test.each([8, 16])('%i bit: K 100 %% is the black code, no ink is the white code', async (bits) => {
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

describe('profiles', () => {
  const profileOf = (file: string): number[] => {
    const bytes = readFileSync(join(import.meta.dirname, '../../../fixtures/corpus/good', file));
    // TIFF tag 34675 of our own fixtures: the profile is the only part that holds "acsp" at its byte 36.
    const start = bytes.indexOf('acsp') - 36;
    return [...bytes.subarray(start, start + bytes.readUInt32BE(start))];
  };
  const adobe = profileOf('gen-icc-adobergb.tif');
  const tagged = (profile: readonly number[]): Tag[] => [{ tag: 34675, type: 7, values: profile }];
  // Adobe RGB (1998), 4.3.4 and 4.2: gamma 563/256; primaries red (0.64, 0.33), green (0.21, 0.71), blue (0.15, 0.06).
  const light = (code: number) => (code / 65535) ** (563 / 256);

  test('16-bit colours go through it to the same greys as 8-bit ones', async () => {
    const colours = [
      [172, 44, 44],
      [95, 159, 55],
      [44, 44, 195],
      [221, 199, 75],
      [84, 62, 45],
      [127, 127, 127],
    ];
    const page = { widthPx: 6, photometric: 2, tags: tagged(adobe) };
    const row8 = await rowOf({ ...page, bits: [8, 8, 8], data: new Uint8Array(colours.flat()) });
    const row16 = await rowOf({
      ...page,
      bits: [16, 16, 16],
      data: words(...colours.flat().map((code) => code * 257)),
    });
    // Luminance by the rows of the Adobe RGB to XYZ matrix (Adobe RGB (1998), 4.3.6.1), coded as sRGB.
    const wanted = colours.map(([r, g, b]) => {
      const y = 0.29734 * light(r! * 257) + 0.62736 * light(g! * 257) + 0.07529 * light(b! * 257);
      return 255 * (1.055 * y ** (1 / 2.4) - 0.055);
    });
    for (const [x, code] of wanted.entries()) {
      expect(Math.abs(row8[x]! - code), `8 bit, patch ${x}`).toBeLessThanOrEqual(2);
      expect(Math.abs(row16[x]! / 257 - code), `16 bit, patch ${x}`).toBeLessThanOrEqual(1.5);
    }
  });

  test('16-bit grey goes through it', async () => {
    const grey18 = greyGamma(1.8);
    const data = words(0, 12593, 28013, 65535);
    const row = await rowOf({ bits: [16], data, tags: tagged(grey18) });
    // gen-icc-grey18: stored 49 and 109 stand for sRGB 64 and 128.
    for (const [x, code] of [0, 64, 128, 255].entries())
      expect(Math.abs(row[x]! / 257 - code)).toBeLessThanOrEqual(0.6);
  });

  test.each([
    ['for other colours', { tags: tagged(adobe) }],
    ['cut short', { tags: tagged(adobe.slice(0, 300)) }],
    ['of noise', { tags: tagged(Array(400).fill(7)) }],
  ])('one %s is left out, and said so', async (_, page) => {
    const { row, facts } = await opened(tiffOf({ ...grey4, ...page }));
    expect(row).toEqual([0, 85, 170, 255]);
    expect(codes(facts.cautions)).toContain('picture-profile-unused');
  });
});

/** A grey ICC profile with a gamma (ICC.1:2001-04: header, one curve of count 1, D50 white). */
function greyGamma(gamma: number): number[] {
  const bytes = new Uint8Array(128 + 4 + 24 + 20 + 16);
  const view = new DataView(bytes.buffer);
  const text = (at: number, value: string) => bytes.set(new TextEncoder().encode(value), at);
  view.setUint32(0, bytes.length);
  view.setUint32(8, 0x02400000);
  text(12, 'mntrGRAYXYZ ');
  text(36, 'acsp');
  view.setInt32(68, 0xf6d6);
  view.setInt32(72, 0x10000);
  view.setInt32(76, 0xd32d);
  view.setUint32(128, 2);
  text(132, 'wtpt');
  view.setUint32(136, 156);
  view.setUint32(140, 20);
  text(144, 'kTRC');
  view.setUint32(148, 176);
  view.setUint32(152, 14);
  text(156, 'XYZ ');
  view.setInt32(164, 0xf6d6);
  view.setInt32(168, 0x10000);
  view.setInt32(172, 0xd32d);
  text(176, 'curv');
  view.setUint32(184, 1);
  view.setUint16(188, Math.round(gamma * 256));
  return [...bytes];
}
