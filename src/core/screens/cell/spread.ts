import { fillRow } from '../../bitmap.ts';

/** Widest cell for which eight cells fit one 32-bit entry of a table. */
const WIDEST_IN_TABLE = 4;

/** Each byte of cells as `times` bytes of pixels, the leftmost in the highest bits. */
const spreadTable = (times: number): Uint32Array =>
  Uint32Array.from({ length: 256 }, (_, byte) => {
    let pixels = 0;
    for (let cell = 0; cell < 8; cell++)
      if (byte & (0x80 >> cell)) pixels += (2 ** times - 1) * 2 ** (8 * times - times * (cell + 1));
    return pixels;
  });

/** Widens packed cells to packed pixels, `cellX` to a cell; what lies beyond the width is cut off, padding 0. */
export function openSpread(widthPx: number, cellX: number): (cells: Uint8Array, pixels: Uint8Array) => void {
  const stride = (widthPx + 7) >> 3;
  const padding = (0xff << (stride * 8 - widthPx)) & 0xff;
  const cut = (pixels: Uint8Array): void => {
    pixels[stride - 1] = pixels[stride - 1]! & padding;
  };
  if (cellX > WIDEST_IN_TABLE) return runsOf(widthPx, cellX);
  const table = spreadTable(cellX);
  const top = (cellX - 1) * 8;
  return (cells, pixels) => {
    for (let i = 0, to = 0; to < stride; i++) {
      const entry = table[cells[i]!]!;
      for (let shift = top; shift >= 0; shift -= 8) pixels[to++] = (entry >>> shift) & 0xff;
    }
    cut(pixels);
  };
}

/** The same for wide cells, run by run. */
const runsOf =
  (widthPx: number, cellX: number) =>
  (cells: Uint8Array, pixels: Uint8Array): void => {
    const count = Math.ceil(widthPx / cellX);
    const isEtched = (i: number): boolean => (cells[i >> 3]! & (0x80 >> (i & 7))) !== 0;
    pixels.fill(0);
    for (let i = 0; i < count; ) {
      const from = i;
      const etched = isEtched(i);
      while (i < count && isEtched(i) === etched) i++;
      if (etched) fillRow(pixels, 0, from * cellX, Math.min(widthPx, i * cellX), 1);
    }
  };
