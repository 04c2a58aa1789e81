import type { Decoder } from '../library/decoder.ts';

// TIFF 6.0: sections 2 (structure) and 16 (separated pictures, photometric 5); the profile is tag 34675 (ICC.1:2022, B.4).
const tagCount = 11;

/**
 * The grey codes (8 bit) that pure black ink and bare paper get under a CMYK profile, or under the library's own
 * without one: the ends of such a picture's range. Found by sending two pixels down the same way.
 */
export async function cmykEnds(
  decoder: Decoder,
  profile: Uint8Array | null,
): Promise<{ blackCode: number; whiteCode: number }> {
  const grey = await decoder
    .open(twoInkPixels(profile), { limitInputPixels: 2 })
    .toColourspace('b-w')
    .raw()
    .toBuffer();
  return { blackCode: grey[0]!, whiteCode: grey[1]! };
}

/** A TIFF of two CMYK pixels: black ink alone, then no ink. */
function twoInkPixels(profile: Uint8Array | null): Uint8Array {
  const pixels = [0, 0, 0, 255, 0, 0, 0, 0];
  const bitsAt = 8 + 2 + tagCount * 12 + 4;
  const pixelsAt = bitsAt + 8;
  const profileAt = pixelsAt + pixels.length;
  const file = new Uint8Array(profileAt + (profile?.length ?? 0));
  const view = new DataView(file.buffer);
  file.set([0x49, 0x49, 42, 0, 8, 0, 0, 0]);
  const long = 4;
  const short = 3;
  const tags: [tag: number, type: number, count: number, value: number][] = [
    [256, long, 1, 2],
    [257, long, 1, 1],
    [258, short, 4, bitsAt],
    [259, short, 1, 1],
    [262, short, 1, 5],
    [273, long, 1, pixelsAt],
    [277, short, 1, 4],
    [278, long, 1, 1],
    [279, long, 1, pixels.length],
    [332, short, 1, 1],
  ];
  if (profile) tags.push([34675, 7, profile.length, profileAt]);
  view.setUint16(8, tags.length, true);
  for (const [entry, [tag, type, count, value]] of tags.entries()) {
    const at = 10 + entry * 12;
    view.setUint16(at, tag, true);
    view.setUint16(at + 2, type, true);
    view.setUint32(at + 4, count, true);
    view.setUint32(at + 8, value, true);
  }
  for (let channel = 0; channel < 4; channel++) view.setUint16(bitsAt + channel * 2, 8, true);
  file.set(pixels, pixelsAt);
  if (profile) file.set(profile, profileAt);
  return file;
}
