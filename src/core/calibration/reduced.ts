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

/** One row, each pixel the mean of four places of its square: two rows of the scan, two columns. */
function shrinkRow(
  { codes, light }: GreyScan,
  upper: number,
  lower: number,
  byPx: number,
  apartPx: number,
  row: Float32Array,
): void {
  for (let x = 0, at = 0; x < row.length; x++, at += byPx) {
    row[x] =
      (light[codes[upper + at]!]! +
        light[codes[upper + at + apartPx]!]! +
        light[codes[lower + at]!]! +
        light[codes[lower + at + apartPx]!]!) /
      4;
  }
}

/** Shrinks by four places in each square, a quarter in from its corners: the marks are far larger. */
function shrunk(scan: GreyScan, byPx: number): Reduced {
  const width = Math.floor(scan.widthPx / byPx);
  const height = Math.floor(scan.heightPx / byPx);
  const tone = new Float32Array(width * height);
  const near = Math.floor(byPx / 4);
  const far = byPx - 1 - near;
  for (let y = 0; y < height; y++) {
    const upper = (y * byPx + near) * scan.widthPx + near;
    const lower = (y * byPx + far) * scan.widthPx + near;
    shrinkRow(scan, upper, lower, byPx, far - near, tone.subarray(y * width, (y + 1) * width));
  }
  return { widthPx: width, heightPx: height, byPx, tone };
}

/** Multiplies part of a row. */
function brighten(tone: Float32Array, from: number, to: number, by: number): void {
  for (let at = from; at < to; at++) tone[at] = tone[at]! * by;
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
  for (let y = 0; y < heightPx; y++) {
    const row = Math.floor(y / TILE_PX) * across;
    for (let tile = 0; tile < across; tile++) {
      const from = y * widthPx + tile * TILE_PX;
      const to = y * widthPx + Math.min(widthPx, (tile + 1) * TILE_PX);
      brighten(tone, from, to, 1 / lent[row + tile]!);
    }
  }
  return small;
}
