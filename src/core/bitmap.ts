/**
 * The one bitmap: 1 bit a pixel, most significant bit leftmost, rows padded to whole bytes, padding always 0.
 * What a set bit means is the owner's: ink before the process, etch after it.
 */
export interface Bitmap {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly strideBytes: number;
  readonly data: Uint8Array;
}

/** Whole bytes that a row of so many pixels takes. */
export const strideFor = (widthPx: number): number => (widthPx + 7) >>> 3;

/** A bitmap of zeros. `shared` puts it into memory that workers can write to. */
export function createBitmap(widthPx: number, heightPx: number, shared = false): Bitmap {
  const strideBytes = strideFor(widthPx);
  const bytes = strideBytes * heightPx;
  const data = new Uint8Array(shared ? new SharedArrayBuffer(bytes) : new ArrayBuffer(bytes));
  return { widthPx, heightPx, strideBytes, data };
}

/** One pixel; x and y must lie on the bitmap, which is not checked. */
export const getBit = (map: Bitmap, x: number, y: number): 0 | 1 =>
  ((map.data[y * map.strideBytes + (x >> 3)]! >> (7 - (x & 7))) & 1) as 0 | 1;

/** Sets one pixel, or clears it; x and y must lie on the bitmap, which is not checked. */
export function setBit(map: Bitmap, x: number, y: number, bit: 0 | 1): void {
  const at = y * map.strideBytes + (x >> 3);
  const mask = 0x80 >> (x & 7);
  map.data[at] = bit ? map.data[at]! | mask : map.data[at]! & ~mask;
}

/** Mask that keeps the used bits of a row's last byte. */
export const tailMask = (widthPx: number): number => (0xff00 >> (((widthPx - 1) & 7) + 1)) & 0xff;

/** Turns every pixel of one row over, in place. */
export function complementRow(data: Uint8Array, at: number, widthPx: number): void {
  const stride = strideFor(widthPx);
  for (let i = at; i < at + stride; i++) data[i] = ~data[i]! & 0xff;
  if (stride > 0) data[at + stride - 1] = data[at + stride - 1]! & tailMask(widthPx);
}

const REVERSED = Uint8Array.from({ length: 256 }, (_, byte) => {
  let out = 0;
  for (let bit = 0; bit < 8; bit++) if (byte & (1 << bit)) out |= 0x80 >> bit;
  return out;
});

/** Mirrors one row left to right, in place: column i goes to width − 1 − i. */
export function mirrorRow(data: Uint8Array, at: number, widthPx: number): void {
  const stride = strideFor(widthPx);
  for (let i = at, j = at + stride - 1; i <= j; i++, j--) {
    const left = REVERSED[data[i]!]!;
    data[i] = REVERSED[data[j]!]!;
    data[j] = left;
  }
  const slack = stride * 8 - widthPx;
  if (slack === 0) return;
  // the padding went to the front: move the row left over it
  for (let i = at; i < at + stride - 1; i++) data[i] = (data[i]! << slack) | (data[i + 1]! >> (8 - slack));
  data[at + stride - 1] = (data[at + stride - 1]! << slack) & 0xff;
}

/** Sets the pixels [from, to) of one row to `bit`. */
export function fillRow(data: Uint8Array, at: number, from: number, to: number, bit: 0 | 1): void {
  if (to <= from) return;
  const first = at + (from >> 3);
  const last = at + ((to - 1) >> 3);
  const head = 0xff >> (from & 7);
  const tail = tailMask(to);
  const put = (i: number, mask: number): void => {
    data[i] = bit ? data[i]! | mask : data[i]! & ~mask;
  };
  if (first === last) {
    put(first, head & tail);
    return;
  }
  put(first, head);
  data.fill(bit ? 0xff : 0, first + 1, last);
  put(last, tail);
}

/** Copies a packed row of `widthPx` pixels to pixel `toPx` of another; both paddings stay as they were. */
export function placeRow(
  source: Uint8Array,
  from: number,
  widthPx: number,
  target: Uint8Array,
  at: number,
  toPx: number,
): void {
  const shift = toPx & 7;
  const stride = strideFor(widthPx);
  let to = at + (toPx >> 3);
  if (shift === 0) {
    const whole = widthPx >> 3;
    target.set(source.subarray(from, from + whole), to);
    if (widthPx & 7) {
      const mask = tailMask(widthPx);
      target[to + whole] = (target[to + whole]! & ~mask) | (source[from + whole]! & mask);
    }
    return;
  }
  for (let i = 0; i < stride; i++, to++) {
    const mask = i === stride - 1 ? tailMask(widthPx) : 0xff;
    const byte = source[from + i]! & mask;
    target[to] = (target[to]! & ~(mask >> shift)) | (byte >> shift);
    const spill = (mask << (8 - shift)) & 0xff;
    if (spill) target[to + 1] = (target[to + 1]! & ~spill) | ((byte << (8 - shift)) & 0xff);
  }
}

/** Cuts `widthPx` pixels out of a packed row, from pixel `fromPx` on, into a row of their own; its padding becomes 0. */
export function cutRow(
  source: Uint8Array,
  at: number,
  fromPx: number,
  widthPx: number,
  target: Uint8Array,
  to: number,
): void {
  const stride = strideFor(widthPx);
  const shift = fromPx & 7;
  let from = at + (fromPx >> 3);
  // beyond the last byte that holds a wanted pixel another row may begin
  const end = at + ((fromPx + widthPx - 1) >> 3);
  for (let i = to; i < to + stride; i++, from++) {
    const next = shift > 0 && from < end ? source[from + 1]! >> (8 - shift) : 0;
    target[i] = ((source[from]! << shift) & 0xff) | next;
  }
  if (stride > 0) target[to + stride - 1] = target[to + stride - 1]! & tailMask(widthPx);
}

/** Set bits of one 32-bit word. */
export const countWord = (word: number): number => {
  let v = word - ((word >>> 1) & 0x55555555);
  v = (v & 0x33333333) + ((v >>> 2) & 0x33333333);
  return Math.imul((v + (v >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
};

/** Set bits in a byte range; the range needs no alignment. */
export function countBits(data: Uint8Array, from = 0, to = data.length): number {
  let count = 0;
  let i = from;
  for (; i < to && (data.byteOffset + i) & 3; i++) count += countWord(data[i]!);
  if (to - i < 4) {
    for (; i < to; i++) count += countWord(data[i]!);
    return count;
  }
  const words = new Uint32Array(data.buffer, data.byteOffset + i, (to - i) >>> 2);
  for (let w = 0; w < words.length; w++) count += countWord(words[w]!);
  for (i += words.length * 4; i < to; i++) count += countWord(data[i]!);
  return count;
}
