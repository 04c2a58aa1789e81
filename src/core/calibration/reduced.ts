import type { GreyScan } from './scan.ts';

/** A small copy of a scan, its light divided by that of the paper near by. */
export interface Reduced {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixels of the scan along a side of one of these. */
  readonly byPx: number;
  /** Light: `PAPER` is that of paper, 0 black. */
  readonly tone: Uint16Array;
}

/** Tone of paper in a small copy. */
export const PAPER = 4096;

/**
 * Long sides wanted, in pixels. `coarse` is enough for a plate that fills most of the scan; in the `fine` one a disc of
 * 4 mm on a plate that fills a third of it keeps six pixels.
 */
export const LONG_SIDE_PX = { coarse: 360, fine: 700 } as const;

/** Side of the tiles in which paper is looked for, and how many tiles around each may lend it: wider than a solid. */
const TILE_PX = 32;
const LENDING_TILES = 2;

/** Share of a tile's pixels that are darker than its paper; the rest may be glare and dust. */
const PAPER_RANK = 0.9;

/** Places of a tile that are looked at for its paper, in each direction. */
const LOOKS = 11;

/** Bits that light loses on its way into the copy, 16 to 12, and levels that paper is told by. */
const DOWN_BITS = 4;
const BIN_BITS = 4;
const BINS = 1 << (16 - DOWN_BITS - BIN_BITS);

/** One row, each pixel the mean of four places of its square: two rows of the scan, two columns. */
function shrinkRow(
  { codes, light }: GreyScan,
  upper: number,
  lower: number,
  byPx: number,
  apartPx: number,
  row: Uint16Array,
): void {
  const width = row.length;
  for (let x = 0, a = upper, b = lower; x < width; x++, a += byPx, b += byPx) {
    row[x] =
      (light[codes[a]!]! + light[codes[a + apartPx]!]! + light[codes[b]!]! + light[codes[b + apartPx]!]!) >>
      (DOWN_BITS + 2);
  }
}

/** Shrinks by four places in each square, a quarter in from its corners: the marks are far larger. */
function shrunk(scan: GreyScan, byPx: number): Reduced {
  const width = Math.floor(scan.widthPx / byPx);
  const height = Math.floor(scan.heightPx / byPx);
  const tone = new Uint16Array(width * height);
  const near = Math.floor(byPx / 4);
  const far = byPx - 1 - near;
  for (let y = 0; y < height; y++) {
    const upper = (y * byPx + near) * scan.widthPx + near;
    const lower = (y * byPx + far) * scan.widthPx + near;
    shrinkRow(scan, upper, lower, byPx, far - near, tone.subarray(y * width, (y + 1) * width));
  }
  return { widthPx: width, heightPx: height, byPx, tone };
}

/** Light of the paper in a tile: nine tenths of its pixels are darker. */
function tilePaper({ widthPx, heightPx, tone }: Reduced, tileX: number, tileY: number): number {
  const bins = new Uint16Array(BINS);
  const bottom = Math.min(heightPx, (tileY + 1) * TILE_PX);
  const right = Math.min(widthPx, (tileX + 1) * TILE_PX);
  const step = Math.floor(TILE_PX / LOOKS);
  let count = 0;
  for (let y = tileY * TILE_PX; y < bottom; y += step) {
    for (let x = tileX * TILE_PX; x < right; x += step) {
      bins[tone[y * widthPx + x]! >> BIN_BITS]!++;
      count++;
    }
  }
  const darker = Math.ceil(PAPER_RANK * count);
  let bin = 0;
  for (let below = bins[0]!; below < darker; ) below += bins[++bin]!;
  return (bin << BIN_BITS) + (1 << (BIN_BITS - 1));
}

/** Brings part of a row to where paper is `PAPER`; what shines more than twice as much stays at that. */
function evened(tone: Uint16Array, from: number, to: number, paper: number): void {
  // PAPER / paper in 4096ths: tones have 12 bits, so the product stays a whole number of 31
  const by = Math.min(1 << 18, Math.round((PAPER << 12) / paper));
  const most = 2 * PAPER;
  for (let at = from; at < to; at++) {
    const value = (tone[at]! * by) >> 12;
    tone[at] = value < most ? value : most;
  }
}

/** Shrinks a scan and evens its light roughly, enough to tell ink from paper anywhere in it. */
export function reduced(scan: GreyScan, longSidePx: number = LONG_SIDE_PX.fine): Reduced {
  const byPx = Math.max(1, Math.floor(Math.max(scan.widthPx, scan.heightPx) / longSidePx));
  const small = shrunk(scan, byPx);
  const { widthPx, heightPx, tone } = small;
  const across = Math.ceil(widthPx / TILE_PX);
  const down = Math.ceil(heightPx / TILE_PX);
  const papers = Uint16Array.from({ length: across * down }, (_, i) =>
    tilePaper(small, i % across, Math.floor(i / across)),
  );
  const lent = new Uint16Array(across * down);
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
      evened(tone, from, to, lent[row + tile]!);
    }
  }
  return small;
}
