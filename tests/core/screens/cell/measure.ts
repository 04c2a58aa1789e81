import { type Bitmap, createBitmap, getBit, setBit } from '../../../../src/core/bitmap.ts';
import { cell } from '../../../../src/core/screens/cell.ts';
import { frameOf, type ScreenPlace } from '../../../../src/core/screens/contract.ts';
import { openSpot } from '../../../../src/core/spot/coverage.ts';
import type { SpotShape } from '../../../../src/core/spot/regions.ts';
import { type Bands, type Drawing, placeOf, screened, settled } from '../drive.ts';

/** A plate whose spot is known, with cells of so many pixels a side. */
export const spotted = (spotPx: number, given: Partial<ScreenPlace> = {}): ScreenPlace =>
  placeOf({ pxPerMm: 20, spotPx, allowsForSpot: true, ...given });

/** Fired stays what has a rectangle of fired pixels to its right and below; beyond the plate all is fired. Pixel by pixel. */
export function eroded(map: Bitmap, x: number, y: number): Bitmap {
  const out = createBitmap(map.widthPx, map.heightPx);
  const fired = (px: number, py: number): boolean =>
    px >= map.widthPx || py >= map.heightPx || getBit(map, px, py) === 1;
  for (let py = 0; py < map.heightPx; py++)
    for (let px = 0; px < map.widthPx; px++) {
      let all = true;
      for (let j = 0; all && j < y; j++) for (let i = 0; all && i < x; i++) all = fired(px + i, py + j);
      if (all) setBit(out, px, py, 1);
    }
  return out;
}

export function complemented(map: Bitmap): Bitmap {
  const out = createBitmap(map.widthPx, map.heightPx);
  for (let y = 0; y < map.heightPx; y++)
    for (let x = 0; x < map.widthPx; x++) setBit(out, x, y, getBit(map, x, y) ? 0 : 1);
  return out;
}

/** A drawing as the cells that are to be etched, and the pulses that etch them; drawn as much later as its marks come early. */
export function etched(
  drawing: Drawing,
  given: Record<string, unknown>,
  place: ScreenPlace,
  bands: Bands = {},
): { readonly cells: Bitmap; readonly pulses: Bitmap } {
  const { trim, shiftPx } = frameOf(cell, settled(cell, given, place), place);
  const moved: Drawing = { ...drawing, toneAt: (x, y) => drawing.toneAt(x + shiftPx.x, y + shiftPx.y) };
  const ink = screened(cell, moved, given, bands, place);
  const cells = place.etchedSide === 'ink' ? ink : complemented(ink);
  const erode = trim?.erodePx ?? { x: 1, y: 1 };
  return { cells, pulses: eroded(cells, erode.x, erode.y) };
}

/** Etched share of some rows, predicted exactly. */
export function predictedShare(pulses: Bitmap, shape: SpotShape, fromRow: number, toRow: number): number {
  return openSpot(shape)(pulses, fromRow, toRow) / (pulses.widthPx * (toRow - fromRow));
}

/** What the marks etch, at `scale` positions a pixel each way: 1 where a position's middle lies in a mark. No tables. */
export function surface(pulses: Bitmap, { spotPx, beam }: SpotShape, scale: number): Uint8Array {
  const [width, height] = [pulses.widthPx * scale, pulses.heightPx * scale];
  const out = new Uint8Array(width * height);
  const radius = (spotPx / 2) * scale;
  const sweep = beam === 'sweep' ? scale / 2 : 0;
  for (let y = 0; y < pulses.heightPx; y++)
    for (let x = 0; x < pulses.widthPx; x++) {
      if (!getBit(pulses, x, y)) continue;
      const [cx, cy] = [(x + 0.5) * scale, (y + 0.5) * scale];
      for (let sy = Math.max(0, Math.floor(cy - radius)); sy < Math.min(height, cy + radius); sy++) {
        const square = radius * radius - (sy + 0.5 - cy) ** 2;
        if (square <= 0) continue;
        const half = Math.sqrt(square) + sweep;
        const from = Math.max(0, Math.ceil(cx - half - 0.5));
        const to = Math.min(width, Math.floor(cx + half - 0.5) + 1);
        out.fill(1, sy * width + from, Math.max(sy * width + from, sy * width + to));
      }
    }
  return out;
}

/** Share of the land that a square of `side` positions cannot cover, away from the outer `margin` positions. */
export function thinLandShare(marks: Uint8Array, width: number, side: number, margin: number): number {
  const height = marks.length / width;
  // anchors of the places where the square fits, by the largest free square that begins at each position
  const square = new Int32Array(marks.length);
  const covered = new Uint8Array(marks.length);
  for (let y = height - 1; y >= 0; y--)
    for (let x = width - 1; x >= 0; x--) {
      const at = y * width + x;
      if (marks[at]) continue;
      square[at] =
        x + 1 === width || y + 1 === height
          ? 1
          : 1 + Math.min(square[at + 1]!, square[at + width]!, square[at + width + 1]!);
    }
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      if (square[y * width + x]! >= side)
        for (let j = 0; j < side; j++) covered.fill(1, (y + j) * width + x, (y + j) * width + x + side);
  let land = 0;
  let thin = 0;
  for (let y = margin; y < height - margin; y++)
    for (let x = margin; x < width - margin; x++) {
      const at = y * width + x;
      if (marks[at]) continue;
      land++;
      if (!covered[at]) thin++;
    }
  return land === 0 ? 0 : thin / land;
}

/** Slopes, soft blobs, hard edges and a fine weave, 0 … 65535: about what a photograph asks of a screen. */
export function photo(widthPx: number, heightPx: number, least = 0.03, most = 0.97): Drawing {
  const blobs = [
    [0.25, 0.3, 0.12, 0.5],
    [0.7, 0.25, 0.2, -0.4],
    [0.6, 0.75, 0.08, 0.6],
    [0.2, 0.8, 0.15, -0.5],
  ] as const;
  return {
    widthPx,
    heightPx,
    toneAt: (x, y) => {
      const [u, v] = [x / widthPx, y / heightPx];
      let tone = 0.15 + 0.6 * u + 0.15 * Math.sin(9 * v);
      for (const [bu, bv, size, height] of blobs)
        tone += height * Math.exp(-((u - bu) ** 2 + (v - bv) ** 2) / (2 * size * size));
      if (Math.hypot(u - 0.75, v - 0.6) < 0.1) tone = 0.85;
      if (u + v < 0.3) tone = 0.12;
      if (v > 0.9) tone += 0.3 * Math.sin(x / 2.5);
      return Math.round(65535 * Math.min(most, Math.max(least, tone)));
    },
  };
}

export function meanTone({ widthPx, heightPx, toneAt }: Drawing, fromRow = 0, toRow = heightPx): number {
  let sum = 0;
  for (let y = fromRow; y < toRow; y++) for (let x = 0; x < widthPx; x++) sum += toneAt(x, y);
  return sum / (widthPx * (toRow - fromRow)) / 65535;
}
