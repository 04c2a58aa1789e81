/** The last few tone rows that ran past, each as it came and again as pairs. */
export interface ToneRows {
  /** `rowPx` tones a row; right of the width goes on the outermost pixel. */
  readonly tones: Uint16Array;
  /** The same memory, two tones at a time; which of them comes first does not matter. */
  readonly pairs: Int32Array;
  /** A whole multiple of 32. */
  readonly rowPx: number;
  /** Index of the first tone of row y; any whole number, negative too. */
  at(y: number): number;
  take(tone: Uint16Array, y: number): void;
}

/** Keeps the last `rows` rows, each of `leastPx` tones or a few more. */
export function openToneRows(leastPx: number, rows: number): ToneRows {
  const rowPx = Math.ceil(leastPx / 32) * 32;
  const pairs = new Int32Array((rowPx * rows) >> 1);
  const tones = new Uint16Array(pairs.buffer);
  const at = (y: number): number => (((y % rows) + rows) % rows) * rowPx;
  return {
    tones,
    pairs,
    rowPx,
    at,
    take(tone, y) {
      const start = at(y);
      tones.set(tone, start);
      tones.fill(tone[tone.length - 1]!, start + tone.length, start + rowPx);
    },
  };
}
