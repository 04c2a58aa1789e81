import { type Homography, through } from './homography.ts';
import type { GreyScan } from './scan.ts';

/** A grey picture in sRGB codes, 8 bit, row by row. */
export interface GreyPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly codes: Uint8Array;
}

/** Readings along a side of each pixel. */
const FINE = 3;

/** The plate cut out of a scan and laid straight, print-reading, for people to look at. */
export function rectified(
  scan: GreyScan,
  toScan: Homography,
  { widthMm, heightMm }: { readonly widthMm: number; readonly heightMm: number },
  pxPerMm: number,
): GreyPicture {
  const [widthPx, heightPx] = [Math.round(widthMm * pxPerMm), Math.round(heightMm * pxPerMm)];
  const codes = new Uint8Array(widthPx * heightPx);
  const full = scan.light.length - 1;
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      let sum = 0;
      for (let k = 0; k < FINE * FINE; k++) {
        const [px, py] = through(
          toScan,
          (x + ((k % FINE) + 0.5) / FINE) / pxPerMm,
          (y + (Math.floor(k / FINE) + 0.5) / FINE) / pxPerMm,
        );
        const column = Math.min(scan.widthPx - 1, Math.max(0, Math.floor(px)));
        const row = Math.min(scan.heightPx - 1, Math.max(0, Math.floor(py)));
        sum += scan.codes[row * scan.widthPx + column]!;
      }
      codes[y * widthPx + x] = Math.round((sum / (FINE * FINE) / full) * 255);
    }
  }
  return { widthPx, heightPx, codes };
}
