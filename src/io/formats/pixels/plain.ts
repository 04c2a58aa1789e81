import * as room from './room.ts';

/** The same as the kernels, in plain steps over the same memory: for engines without WebAssembly, and what those are held to. */
export function plainKernels(buffer: ArrayBuffer) {
  const bytes = new Uint8Array(buffer);
  const words = new Int32Array(buffer, 0, buffer.byteLength >>> 2);
  const state = room.STATE_AT >> 2;
  const colourAt = (at: number): number =>
    (bytes[at]! << 8) | (bytes[at + 1]! << 16) | (bytes[at + 2]! << 24);
  const placeOf = (colour: number): number =>
    (Math.imul(colour, room.FACTOR) >>> room.PLACE_SHIFT) & room.PLACE_MASK;
  const highOf = (less: number): number => 31 - Math.clz32(less);
  const symbolOf = (less: number): number => 2 * highOf(less) + ((less >>> (highOf(less) - 1)) & 1);
  const count = (within: number, i: number): void => {
    words[(room.COUNTS_AT + within) / 4 + i]! += 1;
  };

  const pairOf = (at: number): number => {
    const sum = Math.imul(colourAt(at), room.FACTOR) + Math.imul(colourAt(at + room.PIXEL), room.PAIR_FACTOR);
    return room.PAIRS_AT + ((sum >>> room.PAIR_SHIFT) & room.PAIR_MASK);
  };
  /** Where what is like the pixels `back` before it ends; as far as the first is, if that is. */
  const endOf = (at: number, back: number, stop: number): number => {
    let end = at;
    if (back > room.MOST_BACK) return end;
    while (end < Math.min(stop, at + room.MOST_MATCH) && colourAt(end) === colourAt(end - back))
      end += room.PIXEL;
    return end;
  };
  /** What was kept at an address; `at` is from now on. */
  const exchanged = (place: number, at: number): number => {
    const before = words[place >> 2]!;
    words[place >> 2] = at;
    return before;
  };

  const find = (at: number, stop: number): void => {
    for (let p = at, next = at; p < stop; p = next) {
      const colour = colourAt(p);
      let back = p - exchanged(placeOf(colour), p);
      const backOfPair = p - exchanged(pairOf(p), p);
      next = endOf(p, back, stop);
      if (next === p + room.PIXEL && endOf(p, backOfPair, stop) > next) {
        back = backOfPair;
        next = endOf(p, back, stop);
      }
      if (next > p) {
        words[placeOf(colourAt(next - room.PIXEL)) >> 2] = next - room.PIXEL;
        words[words[state]! >> 2] = ((next - p) << 16) | (back - 1);
        count(room.LENGTHS_IN, next - p);
        count(room.DISTANCES_IN, symbolOf(back - 1));
      } else {
        next = p + room.PIXEL;
        words[words[state]! >> 2] = (colour >>> 8) | (1 << 31);
        for (let i = 0; i < room.PIXEL; i++) count(0, bytes[p + i]!);
      }
      words[state]! += 4;
    }
  };

  const put = (value: number, count: number): void => {
    words[state + 1]! |= value << words[state + 2]!;
    words[state + 2]! += count;
    for (; words[state + 2]! >= 8; words[state + 2]! -= 8) {
      bytes[words[state + 3]!++] = words[state + 1]!;
      words[state + 1]! >>>= 8;
    }
  };
  const putCode = (within: number, i: number): void => {
    const code = words[(room.CODES_AT + within) / 4 + i]!;
    put(code & 0xffffff, code >>> 24);
  };
  const send = (at: number, end: number): void => {
    for (let i = at >> 2; i < end >> 2; i++) {
      const token = words[i]!;
      if (token < 0) {
        for (let byte = 0; byte < room.PIXEL; byte++) putCode(0, (token >>> (8 * byte)) & 255);
        continue;
      }
      putCode(room.LENGTHS_IN, token >>> 16);
      if (token === room.ROW_TOKEN) continue;
      const less = token & (room.MOST_BACK - 1);
      putCode(room.DISTANCES_IN, symbolOf(less));
      const extra = highOf(less) - 1;
      put(less & ((1 << extra) - 1), extra);
    }
  };
  return { find, send, put };
}
