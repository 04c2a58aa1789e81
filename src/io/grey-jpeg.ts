/** A grey picture in sRGB codes, 8 bit, row by row, as a JPEG for pages. */
export async function greyJpeg(codes: Uint8Array, widthPx: number, heightPx: number): Promise<Uint8Array> {
  const { default: sharp } = await import('sharp');
  const raw = { width: widthPx, height: heightPx, channels: 1 } as const;
  return sharp(codes, { raw }).toColourspace('b-w').jpeg({ quality: 82 }).toBuffer();
}
