import type { TiffTags } from './tiff.ts';

/** Pixels an inch across and down. */
export interface Ppi {
  readonly x: number;
  readonly y: number;
}

const cmPerInch = 2.54;
// TIFF 6.0, section 8: tags 282, 283 (resolution) and 296 (unit: 1 none, 2 inch, 3 cm). EXIF uses the same numbers.
const unitTag = 296;

/** The resolution of TIFF tags that state an absolute unit; a missing unit states none. */
export function tiffPpi(tags: TiffTags): Ppi | null {
  const unit = tags.get(unitTag)?.[0];
  const perInch = unit === 2 ? 1 : unit === 3 ? cmPerInch : 0;
  return plausible({ x: (tags.get(282)?.[0] ?? 0) * perInch, y: (tags.get(283)?.[0] ?? 0) * perInch });
}

/**
 * The resolution of an EXIF block. CIPA DC-008 (4.6.4 A) has cameras write 72 an inch when the resolution
 * is unknown, so 72 says nothing.
 */
export function exifPpi(tags: TiffTags): Ppi | null {
  const ppi = tiffPpi(tags);
  return ppi && ppi.x === 72 && ppi.y === 72 ? null : ppi;
}

/** Null where a resolution is nought, endless or not a number. */
export const plausible = (ppi: Ppi | null): Ppi | null =>
  ppi && ppi.x > 0 && ppi.y > 0 && Number.isFinite(ppi.x) && Number.isFinite(ppi.y) ? ppi : null;
