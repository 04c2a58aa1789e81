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
 * Which words of a row hold a dark or a light pixel: the differences from the two limits, or-ed together, are negative
 * where any of them was. That costs two steps a pixel, and no branch. A tone next to a limit may count as well.
 */
export interface Ends {
  /** A tone above it counts as dark, one below `lightBelow` as light. */
  readonly darkAbove: number;
  readonly lightBelow: number;
  readonly dark: Int32Array;
  readonly light: Int32Array;
}

/** The same number in both halves of 32 bits. */
const BOTH = 0x10001;

const FIRST_IS_LOW = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/** A row's tones two by two, the first in the lower half; null where memory or the limit does not suit. */
function pairsOf(tone: Uint16Array, half: number): Int32Array | null {
  if (!FIRST_IS_LOW || (tone.byteOffset & 3) !== 0 || (half & 1) === 0) return null;
  return new Int32Array(tone.buffer, tone.byteOffset, tone.length >> 1);
}

/** Bits of the lower half and of the upper one by turns, highest first. */
function interleave(halves: number): number {
  let bits = (halves << 16) | (halves >>> 16);
  let moved = (bits ^ (bits >>> 8)) & 0x0000ff00;
  bits ^= moved ^ (moved << 8);
  moved = (bits ^ (bits >>> 4)) & 0x00f000f0;
  bits ^= moved ^ (moved << 4);
  moved = (bits ^ (bits >>> 2)) & 0x0c0c0c0c;
  bits ^= moved ^ (moved << 2);
  moved = (bits ^ (bits >>> 1)) & 0x22222222;
  bits ^= moved ^ (moved << 1);
  return bits;
}

/**
 * Thresholds a row: bit 1 where `tone` is above `half`, turned over by `flip` (0 or −1). What lies right of the width
 * and in the guards goes on like the outermost pixel. Adds to `ends`, from its index `endsAt` on.
 */
export function thresholdRow(
  tone: Uint16Array,
  widthPx: number,
  half: number,
  flip: number,
  to: RowRing,
  y: number,
  { darkAbove, lightBelow, dark, light }: Ends,
  endsAt: number,
): void {
  const { words, guard, stride } = to;
  const at = to.at(y);
  const first = at + guard;
  const whole = widthPx >> 5;
  const beyond = ((half - tone[widthPx - 1]!) >> 31) ^ flip;
  const pairs = pairsOf(tone, half);
  const darkAdd = Math.imul(BOTH, 0x8000 - ((darkAbove + 1) >> 1));
  const lightFrom = Math.imul(BOTH, 0x8000 + ((lightBelow - 1) >> 1));
  const halfAdd = Math.imul(BOTH, 0x8000 - ((half + 1) >> 1));
  for (let k = 0; k < whole && pairs !== null; k++) {
    // on the upper 15 bits, which nothing carries out of
    let word = 0;
    let darks = 0;
    let lights = 0;
    // from the right, so that each pair's two bits come in at the top of their halves
    for (let i = (k << 4) + 15, end = k << 4; i > end; i -= 2) {
      const two = (pairs[i]! >>> 1) & 0x7fff7fff;
      const more = (pairs[i - 1]! >>> 1) & 0x7fff7fff;
      darks |= (two + darkAdd) | (more + darkAdd);
      lights |= (lightFrom - two) | (lightFrom - more);
      word = (word >>> 1) | ((two + halfAdd) & 0x80008000);
      word = (word >>> 1) | ((more + halfAdd) & 0x80008000);
    }
    words[first + k] = interleave(word) ^ flip;
    dark[endsAt + k]! |= darks | (darks << 16);
    light[endsAt + k]! |= lights | (lights << 16);
  }
  for (let k = pairs === null ? 0 : whole; k << 5 < widthPx; k++) {
    const left = Math.min(32, widthPx - (k << 5));
    let word = 0;
    for (let x = k << 5, end = x + left; x < end; x++) {
      const t = tone[x]!;
      dark[endsAt + k]! |= darkAbove - t;
      light[endsAt + k]! |= t - lightBelow;
      word = (word << 1) | ((half - t) >>> 31);
    }
    const used = -1 << (32 - left);
    words[first + k] = (((word << (32 - left)) ^ flip) & used) | (beyond & ~used);
  }
  words.fill(((half - tone[0]!) >> 31) ^ flip, at, first);
  words.fill(beyond, at + stride - guard, at + stride);
}

/** Writes the bits of a row that lie inside (a row of words without guards) as bytes. */
export function storeRow(from: RowRing, y: number, inside: Int32Array, bytes: Uint8Array): void {
  const { words, guard } = from;
  const first = from.at(y) + guard;
  for (let i = 0; i < bytes.length; i++)
    bytes[i] = (words[first + (i >> 2)]! & inside[i >> 2]!) >>> (24 - ((i & 3) << 3));
}
