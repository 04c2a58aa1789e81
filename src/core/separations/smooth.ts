/** Fills a row of tone, 0 … 65535; rows are asked for in rising order. */
export type ToneRows = (y: number, into: Uint16Array) => void;

/** Mean of a square of 2 · `reachPx` + 1 pixels around each pixel, by running sums; beyond an edge its outermost pixel goes on. */
function boxed(rows: ToneRows, widthPx: number, heightPx: number, reachPx: number): ToneRows {
  const span = 2 * reachPx + 1;
  const ring = Array.from({ length: span }, () => new Uint16Array(widthPx));
  const sums = new Int32Array(widthPx);
  const across = new Float64Array(widthPx);
  let held = -1; // the middle row that the sums stand for
  const slot = (y: number): Uint16Array => ring[((y % span) + span) % span]!;
  const clamped = (y: number): number => Math.min(heightPx - 1, Math.max(0, y));
  const load = (y: number): void => {
    const row = slot(y);
    // beyond the picture its outermost row comes again; the row before is still there
    if (y === clamped(y)) rows(y, row);
    else row.set(slot(y > 0 ? y - 1 : y + 1));
    for (let x = 0; x < widthPx; x++) sums[x] = sums[x]! + row[x]!;
  };
  const begin = (): void => {
    rows(0, slot(0));
    const first = slot(0).slice();
    sums.fill(0);
    for (let y = -reachPx; y <= 0; y++) {
      slot(y).set(first);
      for (let x = 0; x < widthPx; x++) sums[x] = sums[x]! + first[x]!;
    }
    for (let y = 1; y <= reachPx; y++) load(y);
    held = 0;
  };
  return (y, into) => {
    if (held < 0) begin();
    while (held < y) {
      const gone = slot(held - reachPx);
      for (let x = 0; x < widthPx; x++) sums[x] = sums[x]! - gone[x]!;
      load(held + reachPx + 1);
      held++;
    }
    let sum = 0;
    for (let x = -reachPx; x <= reachPx; x++) sum += sums[Math.min(widthPx - 1, Math.max(0, x))]!;
    for (let x = 0; x < widthPx; x++) {
      across[x] = sum;
      sum += sums[Math.min(widthPx - 1, x + reachPx + 1)]! - sums[Math.max(0, x - reachPx)]!;
    }
    for (let x = 0; x < widthPx; x++) into[x] = Math.round(across[x]! / (span * span));
  };
}

/** Smooths rows of tone over about `widthPx` pixels: two means, one after the other, each of half that width. Under 2 it leaves them. */
export function smoothed(
  rows: ToneRows,
  size: { readonly widthPx: number; readonly heightPx: number },
  overPx: number,
): ToneRows {
  const reachPx = Math.floor(overPx / 4 + 0.5);
  if (reachPx < 1) return rows;
  const once = boxed(rows, size.widthPx, size.heightPx, reachPx);
  return boxed(once, size.widthPx, size.heightPx, reachPx);
}
