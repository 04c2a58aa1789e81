import type { GreyScan } from './scan.ts';

/** A small copy of a scan, its light divided by that of the paper near by: 1 is paper, 0 black. */
export interface Reduced {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixels of the scan along a side of one of these. */
  readonly byPx: number;
  readonly tone: Float32Array;
}

/** Long side wanted: a disc of 4 mm on a plate that fills a third of the scan keeps six pixels. */
const LONG_SIDE_PX = 700;

/** Side of the tiles in which paper is looked for, and how many tiles around each may lend it: wider than a solid. */
const TILE_PX = 32;
const LENDING_TILES = 2;

/** Share of a tile's pixels that are darker than its paper; the rest may be glare and dust. */
const PAPER_RANK = 0.9;

/** Shrinks by the mean of four places in each square, a quarter in from its corners: the marks are far larger. */
function shrunk({ widthPx, heightPx, codes, light }: GreyScan, byPx: number): Reduced {
  const width = Math.floor(widthPx / byPx);
  const height = Math.floor(heightPx / byPx);
  const tone = new Float32Array(width * height);
  const near = Math.floor(byPx / 4);
  const far = byPx - 1 - near;
  for (let y = 0, into = 0; y < height; y++) {
    const upper = (y * byPx + near) * widthPx;
    const lower = (y * byPx + far) * widthPx;
    for (let x = 0; x < width; x++, into++) {
      const left = x * byPx + near;
      const right = x * byPx + far;
      tone[into] =
        (light[codes[upper + left]!]! +
          light[codes[upper + right]!]! +
          light[codes[lower + left]!]! +
          light[codes[lower + right]!]!) /
        4;
    }
  }
  return { widthPx: width, heightPx: height, byPx, tone };
}

/** Light of the paper in a tile: nine tenths of its pixels are darker. */
function tilePaper({ widthPx, heightPx, tone }: Reduced, tileX: number, tileY: number): number {
  const bins = new Uint32Array(256);
  let count = 0;
  const bottom = Math.min(heightPx, (tileY + 1) * TILE_PX);
  const right = Math.min(widthPx, (tileX + 1) * TILE_PX);
  for (let y = tileY * TILE_PX; y < bottom; y += 2) {
    for (let x = tileX * TILE_PX; x < right; x += 2) {
      bins[Math.min(255, Math.floor(tone[y * widthPx + x]! * 256))]!++;
      count++;
    }
  }
  let bin = 0;
  for (let below = bins[0]!; below < PAPER_RANK * count; ) below += bins[++bin]!;
  return (bin + 0.5) / 256;
}

/** Shrinks a scan and evens its light roughly, enough to tell ink from paper anywhere in it. */
export function reduced(scan: GreyScan): Reduced {
  const byPx = Math.max(1, Math.floor(Math.max(scan.widthPx, scan.heightPx) / LONG_SIDE_PX));
  const small = shrunk(scan, byPx);
  const { widthPx, heightPx, tone } = small;
  const across = Math.ceil(widthPx / TILE_PX);
  const down = Math.ceil(heightPx / TILE_PX);
  const papers = Float32Array.from({ length: across * down }, (_, i) =>
    tilePaper(small, i % across, Math.floor(i / across)),
  );
  const lent = new Float32Array(across * down);
  for (let i = 0; i < lent.length; i++) {
    const [tx, ty] = [i % across, Math.floor(i / across)];
    for (let y = Math.max(0, ty - LENDING_TILES); y <= Math.min(down - 1, ty + LENDING_TILES); y++) {
      for (let x = Math.max(0, tx - LENDING_TILES); x <= Math.min(across - 1, tx + LENDING_TILES); x++) {
        lent[i] = Math.max(lent[i]!, papers[y * across + x]!);
      }
    }
  }
  for (let y = 0, at = 0; y < heightPx; y++) {
    const row = Math.floor(y / TILE_PX) * across;
    for (let tile = 0; tile < across; tile++) {
      const share = 1 / lent[row + tile]!;
      const end = y * widthPx + Math.min(widthPx, (tile + 1) * TILE_PX);
      for (; at < end; at++) tone[at] = tone[at]! * share;
    }
  }
  return small;
}
