import type { ToneSource } from '../resample/index.ts';

/** Side of a tile that is looked at, in pixels: a power of two, as its spectrum is taken. */
export const TILE_PX = 512;

/** At most so many tiles, 4.2 million pixels: a picture of any size is then looked at in well under a second. */
const MOST_TILES = 16;

/** A piece of the picture: ink tone less `TONE_CENTRE`, as sources have it, row by row; smaller than `TILE_PX` only where the picture is. */
export interface Tile {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly tone: Int16Array;
}

/** What was looked at, whether that was the whole picture, and whether all of it was one of two tones. */
export interface Sample {
  readonly tiles: readonly Tile[];
  readonly whole: boolean;
  readonly twoLevel: boolean;
}

/** How many tiles across and down: all that fit, or 16 in the picture's proportions. */
export function tileGrid(widthPx: number, heightPx: number): { across: number; down: number } {
  const across = Math.ceil(widthPx / TILE_PX);
  const down = Math.ceil(heightPx / TILE_PX);
  if (across * down <= MOST_TILES) return { across, down };
  const wanted = Math.round(Math.sqrt((MOST_TILES * across) / down));
  const few = Math.min(across, MOST_TILES, Math.max(1, wanted));
  return { across: few, down: Math.min(down, Math.floor(MOST_TILES / few)) };
}

/** First pixels of so many tiles along an axis, from edge to edge; a single one lies in the middle. */
function starts(lengthPx: number, tilePx: number, count: number): number[] {
  const room = lengthPx - tilePx;
  if (count === 1) return [room >> 1];
  return Array.from({ length: count }, (_, i) => Math.round((i * room) / (count - 1)));
}

/**
 * Reads tiles spread evenly over the picture. Pictures up to about 4 Mpx are read whole (where tiles overlap, pixels
 * are seen twice); of larger ones, bands of 512 rows are read, and their whole width is asked for a third tone.
 */
export function readTiles(source: ToneSource): Sample {
  const { widthPx, heightPx } = source;
  const [tileWidth, tileHeight] = [Math.min(TILE_PX, widthPx), Math.min(TILE_PX, heightPx)];
  const { across, down } = tileGrid(widthPx, heightPx);
  const columns = starts(widthPx, tileWidth, across);
  const row = new Int16Array(widthPx);
  const levels = openLevels();
  const tiles: Tile[] = [];
  for (const top of starts(heightPx, tileHeight, down)) {
    const band = columns.map(() => new Int16Array(tileWidth * tileHeight));
    for (let y = 0; y < tileHeight; y++) {
      source.readRow(top + y, row, 0);
      levels.row(row);
      for (let i = 0; i < columns.length; i++)
        band[i]!.set(row.subarray(columns[i]!, columns[i]! + tileWidth), y * tileWidth);
    }
    for (const tone of band) tiles.push({ widthPx: tileWidth, heightPx: tileHeight, tone });
  }
  const whole = across * TILE_PX >= widthPx && down * TILE_PX >= heightPx;
  return { tiles, whole, twoLevel: levels.two() };
}

/** Watches whether rows hold more than two values. */
function openLevels(): { row(row: Int16Array): void; two(): boolean } {
  let first = 0;
  let second = 0;
  let seen = 0;
  return {
    row(row) {
      if (seen > 2) return;
      if (seen === 0) {
        first = row[0]!;
        second = first;
        seen = 1;
      }
      for (let x = 0; x < row.length; x++) {
        const tone = row[x]!;
        if (tone === first || tone === second) continue;
        if (seen === 2) {
          seen = 3;
          return;
        }
        second = tone;
        seen = 2;
      }
    },
    two: () => seen <= 2,
  };
}
