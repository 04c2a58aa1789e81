import { type Bitmap, createBitmap, strideFor } from './bitmap.ts';

/** Which way a bitmap is turned by 90 degrees, as it is looked at. */
export type QuarterTurn = 'clockwise' | 'anticlockwise';

/** Turns 8 × 8 pixels over their diagonal: bit x of byte y becomes bit y of byte x (Warren 2013, section 7-3). */
function transpose(block: Uint8Array): void {
  let high = (block[0]! << 24) | (block[1]! << 16) | (block[2]! << 8) | block[3]!;
  let low = (block[4]! << 24) | (block[5]! << 16) | (block[6]! << 8) | block[7]!;
  let swap = (high ^ (high >>> 7)) & 0x00aa00aa;
  high ^= swap ^ (swap << 7);
  swap = (low ^ (low >>> 7)) & 0x00aa00aa;
  low ^= swap ^ (swap << 7);
  swap = (high ^ (high >>> 14)) & 0x0000cccc;
  high ^= swap ^ (swap << 14);
  swap = (low ^ (low >>> 14)) & 0x0000cccc;
  low ^= swap ^ (swap << 14);
  swap = (high & 0xf0f0f0f0) | ((low >>> 4) & 0x0f0f0f0f);
  low = ((high << 4) & 0xf0f0f0f0) | (low & 0x0f0f0f0f);
  high = swap;
  for (let i = 0; i < 4; i++) {
    block[i] = high >>> (24 - 8 * i);
    block[i + 4] = low >>> (24 - 8 * i);
  }
}

/**
 * A bitmap turned by 90 degrees: its width becomes its height. Clockwise the pixel (x, y) goes to
 * (height − 1 − y, x), anticlockwise to (y, width − 1 − x).
 */
export function turned(map: Bitmap, turn: QuarterTurn): Bitmap {
  const { widthPx, heightPx, strideBytes, data } = map;
  const out = createBitmap(heightPx, widthPx);
  const block = new Uint8Array(8);
  const clockwise = turn === 'clockwise';
  for (let across = 0; across < strideFor(heightPx); across++)
    for (let column = 0; column < strideBytes; column++) {
      for (let j = 0; j < 8; j++) {
        const x = across * 8 + j;
        const y = clockwise ? heightPx - 1 - x : x;
        block[j] = x < heightPx ? data[y * strideBytes + column]! : 0;
      }
      transpose(block);
      for (let j = 0; j < 8; j++) {
        const x = column * 8 + j;
        if (x >= widthPx) break;
        out.data[(clockwise ? x : widthPx - 1 - x) * out.strideBytes + across] = block[j]!;
      }
    }
  return out;
}
