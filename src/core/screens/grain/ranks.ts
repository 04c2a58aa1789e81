/**
 * The numbers 0 … n − 1 in the order of their values, equal values in the order of their numbers. Three passes of a
 * counting sort over the bits of a float, turned so that they rise with its value.
 */
export function ascending(values: Float32Array): Uint32Array {
  const n = values.length;
  const keys = new Uint32Array(n);
  const bits = new Uint32Array(values.buffer, values.byteOffset, n);
  for (let i = 0; i < n; i++) {
    const v = bits[i]!;
    keys[i] = v & 0x80000000 ? ~v : v | 0x80000000;
  }
  let from = new Uint32Array(n);
  let to = new Uint32Array(n);
  for (let i = 0; i < n; i++) from[i] = i;
  for (const [shift, mask] of [
    [0, 0x7ff],
    [11, 0x7ff],
    [22, 0x3ff],
  ] as const) {
    const next = new Uint32Array(mask + 2);
    for (let i = 0; i < n; i++) next[((keys[i]! >>> shift) & mask) + 1]!++;
    for (let i = 0; i <= mask; i++) next[i + 1] = next[i + 1]! + next[i]!;
    for (let i = 0; i < n; i++) {
      const key = from[i]!;
      to[next[(keys[key]! >>> shift) & mask]!++] = key;
    }
    [from, to] = [to, from];
  }
  return from;
}

/** Which place each number has in an order: the order's inverse. */
export function placesIn(order: Uint32Array): Uint32Array {
  const places = new Uint32Array(order.length);
  for (let i = 0; i < order.length; i++) places[order[i]!] = i;
  return places;
}

/**
 * The share of all values below each one, 0 … 1, halfway into its own group where several are equal: a group that
 * switches at once is then at most half its own size early or late.
 */
export function middleShares(values: Float32Array): Float64Array {
  const n = values.length;
  const order = ascending(values);
  const shares = new Float64Array(n);
  for (let from = 0; from < n; ) {
    const value = values[order[from]!]!;
    let to = from + 1;
    while (to < n && values[order[to]!]! === value) to++;
    const middle = (from + to) / (2 * n);
    for (let i = from; i < to; i++) shares[order[i]!] = middle;
    from = to;
  }
  return shares;
}
