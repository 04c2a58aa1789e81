/** Huffman codes as deflate has them: RFC 1951, section 3.2.2. */

/** Longest code of a literal, a length or a distance here: with what follows it, each fits 32 bits behind seven that wait. */
export const MOST_CODE_BITS = 11;
/** Longest code that there is. */
const MOST_BITS = 15;

/** Symbols that a code may have: room for each, and for all that they are joined to. */
const MOST_SYMBOLS = 1024;
const leaves = new Float64Array(MOST_SYMBOLS);
const weights = new Float64Array(2 * MOST_SYMBOLS);
const parents = new Int32Array(2 * MOST_SYMBOLS);
const depths = new Uint8Array(2 * MOST_SYMBOLS);

/**
 * Length of each symbol's code, 0 for those that do not occur, at most `most`; at least two of at most 1,024 symbols must occur, and no
 * more than 2 ** `most`. Codes that come out too long are made again from halved counts, which brings them nearer to each other.
 */
export function codeLengths(counts: ArrayLike<number>, most: number): Uint8Array {
  const lengths = new Uint8Array(counts.length);
  const halved = Float64Array.from(counts);
  while (layLengths(halved, lengths) > most)
    for (let i = 0; i < halved.length; i++) halved[i] = Math.floor((halved[i]! + 1) / 2);
  return lengths;
}

/** Joins the two rarest until one is left; of equal ones those that stood there first. Gives the longest length. */
function layLengths(counts: Float64Array, lengths: Uint8Array): number {
  // sorted as numbers, without a comparison of ours: a count, and behind it its symbol
  let many = 0;
  for (let symbol = 0; symbol < counts.length; symbol++)
    if (counts[symbol]! > 0) leaves[many++] = counts[symbol]! * MOST_SYMBOLS + symbol;
  leaves.subarray(0, many).sort();
  // leaves, and then what is joined: both come in rising order
  for (let i = 0; i < many; i++) weights[i] = Math.floor(leaves[i]! / MOST_SYMBOLS);
  const all = 2 * many - 1;
  for (let leaf = 0, joined = many, next = many; next < all; next++) {
    let weight = 0;
    for (let i = 0; i < 2; i++) {
      const takesLeaf = leaf < many && (joined >= next || weights[leaf]! <= weights[joined]!);
      const rarest = takesLeaf ? leaf++ : joined++;
      parents[rarest] = next;
      weight += weights[rarest]!;
    }
    weights[next] = weight;
  }
  depths[all - 1] = 0;
  for (let i = all - 2; i >= 0; i--) depths[i] = depths[parents[i]!]! + 1;
  for (let i = 0; i < many; i++) lengths[leaves[i]! % MOST_SYMBOLS] = depths[i]!;
  // the rarest lies deepest
  return depths[0]!;
}

/** Each symbol's code, its first bit lowest, as it is sent. */
export function codesOf(lengths: Uint8Array): Uint16Array {
  const counts = new Uint16Array(MOST_BITS + 1);
  for (let symbol = 0; symbol < lengths.length; symbol++) counts[lengths[symbol]!]! += 1;
  const next = new Uint16Array(MOST_BITS + 1);
  for (let length = 2; length <= MOST_BITS; length++)
    next[length] = (next[length - 1]! + counts[length - 1]!) << 1;
  const codes = new Uint16Array(lengths.length);
  for (let symbol = 0; symbol < lengths.length; symbol++) {
    const length = lengths[symbol]!;
    if (length > 0) codes[symbol] = turned(next[length]!++, length);
  }
  return codes;
}

function turned(code: number, length: number): number {
  let turn = 0;
  for (let i = 0; i < length; i++) turn |= ((code >>> i) & 1) << (length - 1 - i);
  return turn;
}
