import { textWidthMm } from '../layout/strokefont.ts';
import { MM_PER_INCH } from '../geometry.ts';
import type { BoxMm, TestFeature } from './layout.ts';
import { type Block, headed, LINE_MM, labelBefore, labelOn, noParts, type Parts, tidy } from './parts.ts';

const BARS_MM = [0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.2, 1.6];
const DOTS_MM = [0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1];
const POOLS_MM = [0.3, 0.5, 0.8, 1.2, 2, 3, 5, 8];
const GAPS_MM = [2, 4, 8, 15, 30];
const TYPE_PT = [5, 6, 7, 8, 9, 10, 12];

const BAR_LENGTH_MM = 7;
/** From one bar to the next: as a line of labels takes, or more where bars are wide. */
const pitchOf = (sizeMm: number): number => Math.max(2.3, sizeMm + 1);
const RIM_MM = 0.8;
const LABEL_COLUMN_MM = 4.2;

type Side = TestFeature['side'];

/** The side that prints comes first: its marks stand on bare paper, the others need a ground of ink. */
export interface Sides {
  readonly ink: Side;
  readonly paper: Side;
}

const sizeText = (mm: number): string => String(mm);

interface Piece extends BoxMm {
  readonly sizeMm: number;
}

/** Adds pieces as ink, and the same ones to the right or below as paper in a ground of ink. */
function addTwice(
  parts: Parts,
  pieces: readonly Piece[],
  what: Pick<TestFeature, 'zone' | 'shape' | 'direction'>,
  sides: Sides,
  extent: BoxMm,
  shift: { readonly xMm: number; readonly yMm: number },
): void {
  const name = what.direction ? `${what.zone}-${what.direction}` : what.zone;
  for (const [i, piece] of pieces.entries())
    parts.features.push({ id: `${name}-${sides.ink}-${i + 1}`, side: sides.ink, ...what, ...piece });
  parts.grounds.push({
    xMm: tidy(extent.xMm + shift.xMm - RIM_MM),
    yMm: tidy(extent.yMm + shift.yMm - RIM_MM),
    widthMm: tidy(extent.widthMm + 2 * RIM_MM),
    heightMm: tidy(extent.heightMm + 2 * RIM_MM),
  });
  for (const [i, piece] of pieces.entries())
    parts.features.push({
      id: `${name}-${sides.paper}-${i + 1}`,
      side: sides.paper,
      ...what,
      ...piece,
      xMm: tidy(piece.xMm + shift.xMm),
      yMm: tidy(piece.yMm + shift.yMm),
    });
}

/** Middles of bars of these sizes laid side by side, and the length they take. */
function sideBySide(sizes: readonly number[]): { readonly starts: readonly number[]; readonly total: number } {
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
    parts.labels.push(labelBefore(sizeText(sizeMm), LABEL_COLUMN_MM - 0.3, yMm + sizeMm / 2 - 1.2));
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
const LEAN_MM = 4.5;

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
      yMm = LEAN_MM + 1;
    }
    const widthMm = tidy(LEAN_MM + sizeMm * Math.SQRT2);
    pieces.push({ sizeMm, xMm: tidy(xMm), yMm, widthMm, heightMm: LEAN_MM });
    xMm += widthMm + 1;
    widest = Math.max(widest, xMm - 1);
  }
  const heightMm = 2 * LEAN_MM + 1;
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

export const barBlocks = (sides: Sides): Block[] => [
  levelBars(sides),
  uprightBars(sides),
  leaningBars(sides),
];

const DOTS_A_LINE = 5;
const DOT_PITCH_MM = 1.7;

/** Zone E: five dots of each size, dark ones left, bare ones in ink right. */
export function dotsBlock(sides: Sides): Block {
  const parts = noParts();
  const pitchY = 2.3;
  const pieces = DOTS_MM.flatMap((sizeMm, line) =>
    Array.from({ length: DOTS_A_LINE }, (_, column) => ({
      sizeMm,
      xMm: tidy(LABEL_COLUMN_MM + (column + 0.5) * DOT_PITCH_MM - sizeMm / 2),
      yMm: tidy(RIM_MM + (line + 0.5) * pitchY - sizeMm / 2),
      widthMm: sizeMm,
      heightMm: sizeMm,
    })),
  );
  for (const [line, sizeMm] of DOTS_MM.entries())
    parts.labels.push(
      labelBefore(sizeText(sizeMm), LABEL_COLUMN_MM - 0.3, RIM_MM + (line + 0.5) * pitchY - 1.2),
    );
  const widthMm = DOTS_A_LINE * DOT_PITCH_MM;
  const heightMm = tidy(DOTS_MM.length * pitchY);
  const extent = { xMm: LABEL_COLUMN_MM, yMm: RIM_MM, widthMm, heightMm };
  const rightMm = widthMm + 2 * RIM_MM;
  addTwice(parts, pieces, { zone: 'dots', shape: 'disc', direction: null }, sides, extent, {
    xMm: rightMm,
    yMm: 0,
  });
  return {
    name: 'E',
    shapes: [
      headed('E dots mm', {
        widthMm: tidy(LABEL_COLUMN_MM + rightMm + widthMm + RIM_MM),
        heightMm: tidy(heightMm + 2 * RIM_MM),
        parts,
      }),
    ],
  };
}

/** Zone F: etched squares from those that hold ink to those that wipe out; intaglio. */
export function poolsBlock(): Block {
  const parts = noParts();
  const largest = POOLS_MM.at(-1)!;
  let xMm = 0;
  for (const [i, sizeMm] of POOLS_MM.entries()) {
    const text = sizeText(sizeMm);
    const pitchMm = Math.max(sizeMm, textWidthMm(text, 1.6)) + 0.8;
    const middleMm = xMm + (pitchMm - 0.8) / 2;
    parts.features.push({
      id: `pools-${i + 1}`,
      zone: 'pools',
      side: 'etched',
      shape: 'square',
      sizeMm,
      direction: null,
      xMm: tidy(middleMm - sizeMm / 2),
      yMm: tidy(largest - sizeMm),
      widthMm: sizeMm,
      heightMm: sizeMm,
    });
    parts.labels.push(labelOn(text, middleMm, largest));
    xMm += pitchMm;
  }
  const shape = { widthMm: tidy(xMm - 0.8), heightMm: largest + LINE_MM, parts };
  return { name: 'F', shapes: [headed('F open bite mm', shape)] };
}

const WALL_MM = 1.5;
const GAP_LENGTH_MM = GAPS_MM.at(-1)!;

/** Zone G: wells between walls, wide to narrow, all as long as the widest is wide; relief. */
export function gapsBlock(): Block {
  const lines = [[GAPS_MM], [GAPS_MM.slice(-1), GAPS_MM.slice(0, -1)]];
  return { name: 'G', shapes: lines.map((sizes) => headed('G gaps mm', gapLines(sizes))) };
}

function gapLines(lines: readonly (readonly number[])[]) {
  const parts = noParts();
  const heightMm = GAP_LENGTH_MM + 2 * WALL_MM;
  let widest = 0;
  for (const [line, sizes] of lines.entries()) {
    const yMm = line * (heightMm + LINE_MM);
    let xMm = WALL_MM;
    for (const sizeMm of sizes) {
      parts.features.push({
        id: `gaps-${GAPS_MM.indexOf(sizeMm) + 1}`,
        zone: 'gaps',
        side: 'etched',
        shape: 'gap',
        sizeMm,
        direction: 'y',
        xMm,
        yMm: yMm + WALL_MM,
        widthMm: sizeMm,
        heightMm: GAP_LENGTH_MM,
      });
      parts.labels.push(labelOn(sizeText(sizeMm), xMm + sizeMm / 2, yMm + heightMm));
      xMm += sizeMm + WALL_MM;
    }
    parts.grounds.push({ xMm: 0, yMm, widthMm: xMm, heightMm });
    widest = Math.max(widest, xMm);
  }
  return { widthMm: widest, heightMm: lines.length * (heightMm + LINE_MM), parts };
}

const MM_PER_PT = MM_PER_INCH / 72;
/** Capitals stand about seven tenths of the body high (common practice). */
export const CAP_OF_BODY = 0.7;

/** Zone L: the same word in growing bodies. */
export function typeBlock(): Block {
  const parts = noParts();
  let yMm = 0;
  let widest = 0;
  for (const sizePt of TYPE_PT) {
    const bodyMm = sizePt * MM_PER_PT;
    const text = `${sizePt} Hamburg`;
    const widthMm = tidy(textWidthMm(text, bodyMm * CAP_OF_BODY));
    parts.type.push({ text, sizePt, xMm: 0, yMm: tidy(yMm), widthMm, heightMm: tidy(bodyMm) });
    yMm += bodyMm * 1.05;
    widest = Math.max(widest, widthMm);
  }
  return { name: 'L', shapes: [headed('L type pt', { widthMm: widest, heightMm: tidy(yMm), parts })] };
}

const RUNG_MM = { widthMm: 8, heightMm: 6 };

/** Zone I: areas that are etched one to four times, where the further passes have files of their own. */
export function ladderBlock(passes: readonly number[], inGround: boolean): Block {
  const parts = noParts();
  const pitchMm = RUNG_MM.widthMm + WALL_MM;
  for (const [i, count] of passes.entries()) {
    const xMm = WALL_MM + i * pitchMm;
    parts.ladder.push({ xMm, yMm: WALL_MM, ...RUNG_MM, passes: count });
    parts.labels.push(labelOn(String(count), xMm + RUNG_MM.widthMm / 2, RUNG_MM.heightMm + 2 * WALL_MM));
  }
  const widthMm = passes.length * pitchMm + WALL_MM;
  const heightMm = RUNG_MM.heightMm + 2 * WALL_MM;
  if (inGround) parts.grounds.push({ xMm: 0, yMm: 0, widthMm, heightMm });
  return {
    name: 'I',
    shapes: [headed('I passes', { widthMm, heightMm: heightMm + LINE_MM, parts })],
  };
}
