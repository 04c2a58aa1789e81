/**
 * The last few rows of a bitmap that runs past, as 32-bit words, leftmost pixel in bit 31. Beyond either side lie
 * `guard` words that go on like the outermost pixel, so that what reaches sideways needs no cases at the border.
 */
export interface RowRing {
  readonly words: Int32Array;
  /** Words of a row, guards included. */
  readonly stride: number;
  readonly guard: number;
  /** Index of the first word of row y; any whole number, negative too. */
  at(y: number): number;
}

/** How rows are laid out: words across without the guards, and the guard. */
export interface RowShape {
  readonly words: number;
  readonly guard: number;
}

/** Room for at least `rows` rows; older ones are overwritten. */
export function createRing({ words, guard }: RowShape, rows: number): RowRing {
  const stride = words + 2 * guard;
  const room = 1 << (32 - Math.clz32(Math.max(1, rows) - 1));
  const mask = room - 1;
  return { words: new Int32Array(stride * room), stride, guard, at: (y) => (y & mask) * stride };
}

/**
 * Thresholds a row: bit 1 where `tone` is above `half`, turned over by `flip` (0 or −1). What lies right of the width
 * and in the guards goes on like the outermost pixel.
 */
export function thresholdRow(
  tone: Uint16Array,
  widthPx: number,
  half: number,
  flip: number,
  to: RowRing,
  y: number,
): void {
  const { words, guard, stride } = to;
  const at = to.at(y);
  const first = at + guard;
  const whole = widthPx >> 5;
  for (let k = 0, x = 0; k < whole; k++) {
    let word = 0;
    for (const end = x + 32; x < end; x++) word = (word << 1) | ((half - tone[x]!) >>> 31);
    words[first + k] = word ^ flip;
  }
  const left = widthPx & 31;
  const beyond = ((half - tone[widthPx - 1]!) >> 31) ^ flip;
  if (left > 0) {
    let word = 0;
    for (let x = widthPx - left; x < widthPx; x++) word = (word << 1) | ((half - tone[x]!) >>> 31);
    const used = -1 << (32 - left);
    words[first + whole] = (((word << (32 - left)) ^ flip) & used) | (beyond & ~used);
  }
  words.fill(((half - tone[0]!) >> 31) ^ flip, at, first);
  words.fill(beyond, at + stride - guard, at + stride);
}

/** Writes a row as bytes, the padding 0. */
export function storeRow(from: RowRing, y: number, widthPx: number, bytes: Uint8Array): void {
  const { words, guard } = from;
  const first = from.at(y) + guard;
  const stride = (widthPx + 7) >> 3;
  for (let i = 0; i < stride; i++) bytes[i] = words[first + (i >> 2)]! >>> (24 - ((i & 3) << 3));
  if (widthPx & 7) bytes[stride - 1] = bytes[stride - 1]! & (0xff00 >> (widthPx & 7));
}
