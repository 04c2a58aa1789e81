/** Adler-32 as defined in RFC 1950, section 8.2: two sums modulo the largest prime below 65,536. */

const PRIME = 65_521;

/**
 * Bytes summed between two reductions: 65,520·(n + 1) + 255·n·(n + 1)/2 must stay below 2^31 so that
 * the sums remain machine integers.
 */
const RUN_BYTES = 3840;

/** Checksum of `bytes` alone, as an unsigned 32-bit number. */
export function adler32(bytes: Uint8Array): number {
  let a = 1;
  let b = 0;
  for (let from = 0; from < bytes.length; from += RUN_BYTES) {
    const to = Math.min(from + RUN_BYTES, bytes.length);
    let i = from;
    // four bytes at a time, in two thirds of the time: the first of them is in all four sums
    for (const fours = to - 3; i < fours; i += 4) {
      const one = a + bytes[i]!;
      const two = one + bytes[i + 1]!;
      const three = two + bytes[i + 2]!;
      a = (three + bytes[i + 3]!) | 0;
      b = (b + one + two + three + a) | 0;
    }
    for (; i < to; i++) {
      a = (a + bytes[i]!) | 0;
      b = (b + a) | 0;
    }
    a %= PRIME;
    b %= PRIME;
  }
  return b * 0x10000 + a;
}

/**
 * Checksum of two runs of bytes laid end to end, from their own checksums and the second one's length.
 *
 * Every byte of the second run adds the first run's sum once more to the high half, and each half of
 * the second checksum started from (1, 0) instead of where the first one ended.
 */
export function combineAdler32(first: number, second: number, secondBytes: number): number {
  const a1 = first % 0x10000;
  const a2 = second % 0x10000;
  const b1 = Math.floor(first / 0x10000);
  const b2 = Math.floor(second / 0x10000);
  const a = (a1 + a2 + PRIME - 1) % PRIME;
  const b = (b1 + b2 + secondBytes * ((a1 + PRIME - 1) % PRIME)) % PRIME;
  return b * 0x10000 + a;
}
