/** What a picture loses when it is reduced to one line a plate pixel: lines of its own that are thinner. */
export interface ThinLines {
  /** Separate pieces of line thinner than one plate pixel. */
  readonly count: number;
  /** Width of the thinnest, in source pixels; 0 when there is none. */
  readonly thinnestPx: number;
}

/** Thin lines of ink, and thin gaps of paper between ink. */
export interface ThinSides {
  readonly ink: ThinLines;
  readonly paper: ThinLines;
}

/** Opens a counter of both sides, with limits as `openThinLines` has them. Give it each source row in packed ink bits, as the screen would draw it without reducing. */
export function openThinSides(
  widthPx: number,
  limitXPx: number,
  limitYPx: number,
): { row(bits: Uint8Array): void; finish(): ThinSides } {
  const ink = openThinLines(widthPx, limitXPx, limitYPx, 0);
  const paper = openThinLines(widthPx, limitXPx, limitYPx, 0);
  const inkRow = new Int16Array(widthPx);
  const paperRow = new Int16Array(widthPx);
  return {
    row(bits) {
      for (let x = 0; x < widthPx; x++) {
        const bit = (bits[x >> 3]! >> (7 - (x & 7))) & 1;
        inkRow[x] = bit;
        paperRow[x] = 1 - bit;
      }
      ink.row(inkRow, 0);
      paper.row(paperRow, 0);
    },
    finish: () => ({ ink: ink.finish(), paper: paper.finish() }),
  };
}

/**
 * Opens a counter of ink lines thinner than `limitXPx`, `limitYPx` source pixels (both > 1). Give it each source row of ink
 * tone (or centred ink tone) in order; `finish` tells what was found. A line is thin where a run of ink, along the row or down the
 * column, is shorter than the limit and bounded by paper on both sides; runs that touch from row to row, or that
 * end together side by side, are one piece. A lone speck counts once for each direction in which it is thin.
 * Ink is what is above `inkFrom`, in the same tones.
 */
export function openThinLines(
  widthPx: number,
  limitXPx: number,
  limitYPx: number,
  inkFrom: number,
): { row(tone: Int16Array, at: number): void; finish(): ThinLines } {
  let count = 0;
  let thinnest = Number.POSITIVE_INFINITY;
  let previous: { from: number; to: number }[] = [];
  const down = new Int32Array(widthPx);
  // a run that has no paper above it yet is cut by the picture's edge: its true length is not known
  const open = new Uint8Array(widthPx);

  const countAcross = (tone: Int16Array, at: number): void => {
    const current: { from: number; to: number }[] = [];
    let start = -1;
    let seen = 0;
    for (let x = 0; x <= widthPx; x++) {
      const ink = x < widthPx && tone[at + x]! > inkFrom;
      if (ink) {
        if (start < 0) start = x;
        continue;
      }
      if (start > 0 && x < widthPx && x - start < limitXPx) {
        const from = start;
        while (seen < previous.length && previous[seen]!.to < from) seen++;
        const joined = seen < previous.length && previous[seen]!.from <= x;
        if (!joined) count++;
        thinnest = Math.min(thinnest, x - start);
        current.push({ from, to: x });
      }
      start = -1;
    }
    previous = current;
  };

  const countDown = (tone: Int16Array, at: number): void => {
    let joined = false;
    for (let x = 0; x < widthPx; x++) {
      if (tone[at + x]! > inkFrom) {
        down[x] = down[x]! + 1;
        joined = false;
        continue;
      }
      const length = down[x]!;
      const thin = length > 0 && open[x] === 1 && length < limitYPx;
      if (thin) {
        thinnest = Math.min(thinnest, length);
        if (!joined) count++;
      }
      joined = thin;
      down[x] = 0;
      open[x] = 1;
    }
  };

  return {
    row(tone, at) {
      if (limitXPx > 1) countAcross(tone, at);
      if (limitYPx > 1) countDown(tone, at);
    },
    finish: () => ({ count, thinnestPx: Number.isFinite(thinnest) ? thinnest : 0 }),
  };
}
