import type { EtchedSide, ScreenRow } from './contract.ts';

/** A tile of tones laid over the plate again and again; a pixel is ink where its tone is above the tile's. */
export interface ThresholdTile {
  /** A power of two, at least 8. */
  readonly widthPx: number;
  /** A power of two. */
  readonly heightPx: number;
  /** Row by row; each the largest tone that stays paper, 0 … 65534, so that paper never marks and solids always do. */
  readonly paperTones: Uint16Array;
}

/**
 * A square tile from thresholds of the etched tone, row by row, 0 … 1: a pixel is etched where the etched tone is above
 * its own. No tone etches nothing and full tone everything, whichever side is etched.
 */
export function tileOfEtch(
  thresholds: Float32Array | Float64Array,
  side: number,
  etchedSide: EtchedSide,
): ThresholdTile {
  const paperTones = new Uint16Array(thresholds.length);
  for (let i = 0; i < thresholds.length; i++) {
    const keptTone = Math.max(0, Math.min(65534, Math.floor(thresholds[i]! * 65535)));
    // etched where 65535 − tone > keptTone, which is paper up to a tone of 65534 − keptTone
    paperTones[i] = etchedSide === 'ink' ? keptTone : 65534 - keptTone;
  }
  return { widthPx: side, heightPx: side, paperTones };
}

/** Compares every pixel with its place in the tile; rows do not depend on each other. */
export function openOrdered(tile: ThresholdTile, widthPx: number): ScreenRow {
  const { paperTones } = tile;
  const xMask = tile.widthPx - 1;
  const yMask = tile.heightPx - 1;
  const wholePx = widthPx & ~7;

  return (tone, y, bits, at) => {
    const row = (y & yMask) * tile.widthPx;
    let to = at;
    // the sign of (limit − tone) is the ink bit: no branch to guess wrong
    for (let x = 0; x < wholePx; x += 8) {
      const m = row + (x & xMask);
      bits[to++] =
        (((paperTones[m]! - tone[x]!) >> 31) & 0x80) |
        (((paperTones[m + 1]! - tone[x + 1]!) >> 31) & 0x40) |
        (((paperTones[m + 2]! - tone[x + 2]!) >> 31) & 0x20) |
        (((paperTones[m + 3]! - tone[x + 3]!) >> 31) & 0x10) |
        (((paperTones[m + 4]! - tone[x + 4]!) >> 31) & 0x08) |
        (((paperTones[m + 5]! - tone[x + 5]!) >> 31) & 0x04) |
        (((paperTones[m + 6]! - tone[x + 6]!) >> 31) & 0x02) |
        (((paperTones[m + 7]! - tone[x + 7]!) >> 31) & 0x01);
    }
    if (wholePx === widthPx) return;
    let byte = 0;
    for (let x = wholePx; x < widthPx; x++)
      byte |= ((paperTones[row + (x & xMask)]! - tone[x]!) >> 31) & (0x80 >> (x & 7));
    bits[to] = byte;
  };
}
