import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { type Tag, tiffOf } from './tiff-maker.ts';
import { codes, grey4, openedTiff as opened, rowOf, words } from './tiffs.ts';

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

  test('an RGB one whose parts are damaged is left out, and said so', async () => {
    const page = { widthPx: 1, bits: [8, 8, 8], photometric: 2, data: new Uint8Array([172, 44, 44]) };
    const plain = await rowOf(page);
    const noise = adobe.map((byte, at) => (at < 200 ? byte : (at * 7) & 255));
    const emptied = adobe.map((byte, at) => (at < 132 ? byte : 0));
    for (const profile of [noise, emptied]) {
      const { row, facts } = await opened(tiffOf({ ...grey4, ...page, tags: tagged(profile) }));
      expect(row).toEqual(plain);
      expect(codes(facts.cautions)).toContain('picture-profile-unused');
    }
    expect(await rowOf({ ...page, tags: tagged(adobe) })).not.toEqual(plain);
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
