import { MM_PER_INCH } from '../../core/geometry.ts';
import type { PlaneSize } from '../../core/proof/box.ts';
import type { SmallPicture } from '../../core/proof/shrink.ts';
import type { RgbHead } from '../../io/proof-png.ts';

/** A drawing as small as the sheet shows it, and the size of what it shows. */
export interface ShownSmall extends SmallPicture {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Pixels of a picture to one of the smaller, so that no side of that is longer than `mostPx`. */
export const shrinkFor = ({ widthPx, heightPx }: PlaneSize, mostPx: number): number =>
  Math.ceil(Math.max(widthPx, heightPx) / mostPx);

/** The smaller picture of a drawing. */
export function shownAs(small: SmallPicture, { widthPx, heightPx, ppi }: RgbHead): ShownSmall {
  const mm = (px: number): number => (px / ppi) * MM_PER_INCH;
  return { ...small, widthMm: mm(widthPx), heightMm: mm(heightPx) };
}
