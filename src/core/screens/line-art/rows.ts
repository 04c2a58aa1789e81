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
 * Thresholds words [from, to) of row y, guards counted: bit 1 where tone is above `half`, turned over by `flip` (0 or
 * −1). The row's tones begin at index `start` and go on to the end of its last word; guards are like the outermost pixel.
 */
export function thresholdRow(
  tones: Uint16Array,
  start: number,
  half: number,
  flip: number,
  ring: RowRing,
  y: number,
  from: number,
  to: number,
): void {
  const { words, guard, stride } = ring;
  const at = ring.at(y);
  const last = stride - guard;
  const end = Math.min(to, last);
  for (let k = Math.max(from, guard); k < end; k++) {
    let word = 0;
    const first = start + ((k - guard) << 5);
    for (let x = first; x < first + 32; x += 4) {
      word = (word << 1) | ((half - tones[x]!) >>> 31);
      word = (word << 1) | ((half - tones[x + 1]!) >>> 31);
      word = (word << 1) | ((half - tones[x + 2]!) >>> 31);
      word = (word << 1) | ((half - tones[x + 3]!) >>> 31);
    }
    words[at + k] = word ^ flip;
  }
  if (from < guard) words.fill(((half - tones[start]!) >> 31) ^ flip, at + from, at + Math.min(to, guard));
  if (to > last) {
    const right = tones[start + ((last - guard) << 5) - 1]!;
    words.fill(((half - right) >> 31) ^ flip, at + Math.max(from, last), at + to);
  }
}

/** Writes the bits of a row that lie inside (a row of words without guards) as bytes. */
export function storeRow(from: RowRing, y: number, inside: Int32Array, bytes: Uint8Array): void {
  const { words, guard } = from;
  const first = from.at(y) + guard;
  for (let i = 0; i < bytes.length; i++)
    bytes[i] = (words[first + (i >> 2)]! & inside[i >> 2]!) >>> (24 - ((i & 3) << 3));
}
