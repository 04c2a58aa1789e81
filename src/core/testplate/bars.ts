import { type Block, headed, labelBefore, noParts, tidy } from './parts.ts';
import { addTwice, LABEL_COLUMN_MM, type Piece, RIM_MM, type Sides } from './sides.ts';

const BARS_MM = [0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.2, 1.6];
const BAR_LENGTH_MM = 5.5;
/** From one bar to the next: as a line of labels takes, or more where bars are wide. */
const pitchOf = (sizeMm: number): number => Math.max(2.3, sizeMm + 1);

/** Middles of bars of these sizes laid side by side, and the length they take. */
function sideBySide(sizes: readonly number[]): {
  readonly starts: readonly number[];
  readonly total: number;
} {
  const starts: number[] = [];
  let at = 0;
  for (const size of sizes) {
    starts.push(tidy(at + (pitchOf(size) - size) / 2));
    at += pitchOf(size);
  }
  return { starts, total: tidy(at) };
}

/** Zone D, bars along x: black left, white right, the widths beside them. */
function levelBars(sides: Sides): Block {
  const parts = noParts();
  const { starts, total } = sideBySide(BARS_MM);
  const pieces = BARS_MM.map((sizeMm, i) => ({
    sizeMm,
    xMm: LABEL_COLUMN_MM,
    yMm: tidy(starts[i]! + RIM_MM),
    widthMm: BAR_LENGTH_MM,
    heightMm: sizeMm,
  }));
  for (const { sizeMm, yMm } of pieces)
    parts.labels.push(labelBefore(String(sizeMm), LABEL_COLUMN_MM - 0.3, yMm + sizeMm / 2 - 1.2));
  const extent = { xMm: LABEL_COLUMN_MM, yMm: RIM_MM, widthMm: BAR_LENGTH_MM, heightMm: total };
  const rightMm = BAR_LENGTH_MM + 2 * RIM_MM;
  addTwice(parts, pieces, { zone: 'bars', shape: 'bar', direction: 'x' }, sides, extent, {
    xMm: rightMm,
    yMm: 0,
  });
  return {
    name: 'D level',
    shapes: [
      headed('D bars mm', {
        widthMm: tidy(LABEL_COLUMN_MM + rightMm + BAR_LENGTH_MM + RIM_MM),
        heightMm: tidy(total + 2 * RIM_MM),
        parts,
      }),
    ],
  };
}

/** Zone D, bars along y: black above, white below, in the order of the level ones. */
function uprightBars(sides: Sides): Block {
  const parts = noParts();
  const { starts, total } = sideBySide(BARS_MM);
  const pieces = BARS_MM.map((sizeMm, i) => ({
    sizeMm,
    xMm: tidy(starts[i]! + RIM_MM),
    yMm: 0,
    widthMm: sizeMm,
    heightMm: BAR_LENGTH_MM,
  }));
  const extent = { xMm: RIM_MM, yMm: 0, widthMm: total, heightMm: BAR_LENGTH_MM };
  const downMm = BAR_LENGTH_MM + 2 * RIM_MM;
  addTwice(parts, pieces, { zone: 'bars', shape: 'bar', direction: 'y' }, sides, extent, {
    xMm: 0,
    yMm: downMm,
  });
  return {
    name: 'D upright',
    shapes: [
      headed('D upright', {
        widthMm: tidy(total + 2 * RIM_MM),
        heightMm: tidy(downMm + BAR_LENGTH_MM + RIM_MM),
        parts,
      }),
    ],
  };
}

/** Height of a leaning bar's box. */
const LEAN_MM = 3.5;
const LEAN_AIR_MM = 0.8;

/** Zone D, bars at 45°: two lines of black ones, two of white ones. */
function leaningBars(sides: Sides): Block {
  const parts = noParts();
  const pieces: Piece[] = [];
  let xMm = RIM_MM;
  let yMm = 0;
  let widest = 0;
  for (const [i, sizeMm] of BARS_MM.entries()) {
    if (i === 5) {
      xMm = RIM_MM;
      yMm = LEAN_MM + LEAN_AIR_MM;
    }
    const widthMm = tidy(LEAN_MM + sizeMm * Math.SQRT2);
    pieces.push({ sizeMm, xMm: tidy(xMm), yMm, widthMm, heightMm: LEAN_MM });
    xMm += widthMm + LEAN_AIR_MM;
    widest = Math.max(widest, xMm - LEAN_AIR_MM);
  }
  const heightMm = 2 * LEAN_MM + LEAN_AIR_MM;
  const extent = { xMm: RIM_MM, yMm: 0, widthMm: widest - RIM_MM, heightMm };
  const downMm = heightMm + 2 * RIM_MM;
  addTwice(parts, pieces, { zone: 'bars', shape: 'bar', direction: 'diagonal' }, sides, extent, {
    xMm: 0,
    yMm: downMm,
  });
  return {
    name: 'D leaning',
    shapes: [
      headed('D 45°', {
        widthMm: tidy(widest + RIM_MM),
        heightMm: tidy(downMm + heightMm + RIM_MM),
        parts,
      }),
    ],
  };
}

/** Bars along the scan, across it and at 45°, kept and etched: the machine draws each of them in its own way. */
export const barBlocks = (sides: Sides): Block[] => [
  levelBars(sides),
  uprightBars(sides),
  leaningBars(sides),
];
