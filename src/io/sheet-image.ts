/** Small pictures as data URIs, for pages that must stand alone. */

import type { Sharp } from 'sharp';

/** Fine enough for a column of print; a third of the bytes of 95. */
const QUALITY = 82;

async function jpegUri(picture: Sharp): Promise<string> {
  // colour in full: the hatchings of a hold map are thin
  const bytes = await picture.jpeg({ quality: QUALITY, chromaSubsampling: '4:4:4' }).toBuffer();
  return `data:image/jpeg;base64,${bytes.toString('base64')}`;
}

/** Greys, 0 = black … 255 = white, in rows of `widthPx`. */
export async function greyUri(greys: Uint8Array, widthPx: number): Promise<string> {
  const { default: sharp } = await import('sharp');
  const raw = { width: widthPx, height: greys.length / widthPx, channels: 1 } as const;
  return jpegUri(sharp(greys, { raw }).toColourspace('b-w'));
}

/** Red, green and blue, a byte each, sRGB, in rows of `widthPx`. */
export async function rgbUri(rgb: Uint8Array, widthPx: number): Promise<string> {
  const { default: sharp } = await import('sharp');
  return jpegUri(sharp(rgb, { raw: { width: widthPx, height: rgb.length / 3 / widthPx, channels: 3 } }));
}

/** A picture file, reduced until it is no wider and no higher than `mostPx`. */
export async function reducedUri(file: string, mostPx: number): Promise<string> {
  const { default: sharp } = await import('sharp');
  const size = { width: mostPx, height: mostPx, fit: 'inside', withoutEnlargement: true } as const;
  return jpegUri(sharp(file, { limitInputPixels: false }).resize(size));
}
