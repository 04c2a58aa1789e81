import { type Bitmap, createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import type { SpotShape } from '../../../src/core/spot/regions.ts';
import { drawing, drawn } from '../drawing.ts';

export const draw = (...rows: string[]): Bitmap => drawing(rows.join('\n'));

export const rowsOf = (map: Bitmap): string[] => drawn(map).split('\n');

export function tile(map: Bitmap, widthPx: number, heightPx: number): Bitmap {
  const out = createBitmap(widthPx, heightPx);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) setBit(out, x, y, getBit(map, x % map.widthPx, y % map.heightPx));
  }
  return out;
}

/**
 * Etched area in px, the obvious way: on many lines across the whole plate, the length that the chords of all
 * fired marks cover together. No regions, no words.
 */
export function slowEtchedPx(map: Bitmap, { spotPx, beam }: SpotShape, linesPerPx: number): number {
  const radius = spotPx / 2;
  const sweep = beam === 'sweep' ? 0.5 : 0;
  let area = 0;
  for (let line = 0; line < map.heightPx * linesPerPx; line++) {
    const y = (line + 0.5) / linesPerPx;
    const chords: [number, number][] = [];
    for (let py = 0; py < map.heightPx; py++) {
      const away = y - (py + 0.5);
      if (Math.abs(away) >= radius) continue;
      const half = Math.sqrt(radius * radius - away * away) + sweep;
      for (let px = 0; px < map.widthPx; px++) {
        if (getBit(map, px, py)) chords.push([px + 0.5 - half, px + 0.5 + half]);
      }
    }
    chords.sort((a, b) => a[0] - b[0]);
    let covered = 0;
    for (const [from, to] of chords) {
      const end = Math.min(to, map.widthPx);
      area += Math.max(0, end - Math.max(from, covered)) / linesPerPx;
      covered = Math.max(covered, end);
    }
  }
  return area;
}
