/** Huffman codes as deflate has them: RFC 1951, section 3.2.2. */

/** Longest code of a literal, a length or a distance here: with what follows it, each fits 32 bits behind seven that wait. */
export const MOST_CODE_BITS = 11;

/**
 * Length of each symbol's code, 0 for those that do not occur, at most `most`; at least two symbols must occur. Codes that come out
 * too long are made again from halved counts, which brings them nearer to each other.
 */
export function codeLengths(counts: ArrayLike<number>, most: number): Uint8Array {
  for (let halved = Array.from(counts); ; halved = halved.map((count) => (count + 1) >>> 1)) {
    const lengths = huffmanLengths(halved);
    if (lengths.every((length) => length <= most)) return lengths;
  }
}

/** Joins the two rarest until one is left; of equal ones those that stood there first. */
function huffmanLengths(counts: readonly number[]): Uint8Array {
  // sorted as numbers, without a comparison of ours: a count, and behind it its symbol
  const leaves = Float64Array.from(
    counts.flatMap((count, symbol) => (count > 0 ? count * 1024 + symbol : [])),
  ).sort();
  // leaves, and then what is joined: both come in rising order
  const many = leaves.length;
  const weights = new Float64Array(2 * many - 1);
  const parents = new Int32Array(2 * many - 1);
  for (let i = 0; i < many; i++) weights[i] = Math.floor(leaves[i]! / 1024);
  for (let leaf = 0, joined = many, next = many; next < weights.length; next++)
    for (let i = 0; i < 2; i++) {
      const takesLeaf = leaf < many && (joined >= next || weights[leaf]! <= weights[joined]!);
      const rarest = takesLeaf ? leaf++ : joined++;
      parents[rarest] = next;
      weights[next]! += weights[rarest]!;
    }
  const depths = new Uint8Array(weights.length);
  for (let i = weights.length - 2; i >= 0; i--) depths[i] = depths[parents[i]!]! + 1;
  const lengths = new Uint8Array(counts.length);
  for (let i = 0; i < many; i++) lengths[leaves[i]! % 1024] = depths[i]!;
  return lengths;
}

/** Each symbol's code, its first bit lowest, as it is sent. */
export function codesOf(lengths: Uint8Array): Uint16Array {
  const codes = new Uint16Array(lengths.length);
  let code = 0;
  for (let length = 1; length < 16; length++, code <<= 1)
    for (let symbol = 0; symbol < lengths.length; symbol++)
      if (lengths[symbol] === length) codes[symbol] = turned(code++, length);
  return codes;
}

function turned(code: number, length: number): number {
  let turn = 0;
  for (let i = 0; i < length; i++) turn |= ((code >>> i) & 1) << (length - 1 - i);
  return turn;
}
