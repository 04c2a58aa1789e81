/**
 * Writes row `y` of a plane of shares, 0…1, into `into`, which is as long as a row. Any row may be asked for; in
 * order, each row below is made about once.
 */
export type ShareRows = (y: number, into: Float32Array) => void;

/** Keeps the last `count` rows asked for; the row given back is good until `count` others have been asked for. */
export function remembered(rows: ShareRows, width: number, count: number): (y: number) => Float32Array {
  return rememberedIn(
    rows,
    Array.from({ length: count }, () => new Float32Array(width)),
  );
}

/** Likewise as many as `kept` has room for. */
export function rememberedIn(rows: ShareRows, kept: readonly Float32Array[]): (y: number) => Float32Array {
  const count = kept.length;
  const holds = new Int32Array(count).fill(-1);
  return (y) => {
    const slot = y % count;
    const row = kept[slot]!;
    if (holds[slot] !== y) {
      rows(y, row);
      holds[slot] = y;
    }
    return row;
  };
}
