import { type Stroke, textStrokes, textWidthMm } from '../layout/strokefont.ts';
import type { BoxMm, LinePage, OutlinePath, PointMm } from '../outlines/contract.ts';

/** What lies on the bed of the press: lengths in mm. */
export interface BedWish {
  readonly paper: { readonly widthMm: number; readonly heightMm: number };
  /** The plate on it, stretched as it is etched; in the middle across, `footMm` above the paper's lower edge. */
  readonly plate: { readonly widthMm: number; readonly heightMm: number };
  /** Paper below the plate; null puts the plate in the middle. */
  readonly footMm: number | null;
  /** Name of the set. */
  readonly name: string;
}

/** Around the paper's outline, and below it for ruler and words. */
const MARGIN_MM = 12;
const FOOT_MM = 26;
const RULER_MM = 100;
const LETTERS_MM = 3;
/** Ticks that tell head from foot: three on one side and two on the other, so that no sheet is laid upside down. */
const TICKS = { head: 3, foot: 2 } as const;
const TICK_MM = 6;
const TICK_STEP_MM = 4;

const points = (strokes: readonly Stroke[]): PointMm[][] =>
  strokes.map((stroke) => stroke.map(({ xMm, yMm }) => ({ x: xMm, y: yMm })));

const line = (x0: number, y0: number, x1: number, y1: number): PointMm[] => [
  { x: x0, y: y0 },
  { x: x1, y: y1 },
];

const rectangle = ({ xMm: x, yMm: y, widthMm, heightMm }: BoxMm): OutlinePath => ({
  start: { x, y },
  segments: [
    { to: { x: x + widthMm, y } },
    { to: { x: x + widthMm, y: y + heightMm } },
    { to: { x, y: y + heightMm } },
    { to: { x, y } },
  ],
  isHole: false,
});

const words = (text: string, xMm: number, yMm: number, heightMm = LETTERS_MM): PointMm[][] =>
  points(textStrokes(text, { xMm, yMm, heightMm }));

/** A line of 100 mm with a tick for each millimetre. */
function ruler(xMm: number, yMm: number): PointMm[][] {
  const ticks = Array.from({ length: RULER_MM + 1 }, (_, i) =>
    line(xMm + i, yMm, xMm + i, yMm - (i % 10 === 0 ? 4 : i % 5 === 0 ? 3 : 2)),
  );
  return [line(xMm, yMm, xMm + RULER_MM, yMm), ...ticks];
}

/** Ticks between paper and plate, in the middle of head and foot. */
function ticksAt(count: number, middle: number, y: number, downwards: 1 | -1): PointMm[][] {
  return Array.from({ length: count }, (_, i) => {
    // none on the centre line itself
    const x = middle + (i - (count - 1) / 2) * TICK_STEP_MM + TICK_STEP_MM * count;
    return line(x, y, x, y + downwards * TICK_MM);
  });
}

/** Centre lines, from a little outside the paper to the plate and through it. */
function centreLines(paper: BoxMm, plate: BoxMm): PointMm[][] {
  const middleX = plate.xMm + plate.widthMm / 2;
  const middleY = plate.yMm + plate.heightMm / 2;
  const over = MARGIN_MM / 2;
  return [
    line(middleX, paper.yMm - over, middleX, paper.yMm + paper.heightMm + over),
    line(paper.xMm - over, middleY, paper.xMm + paper.widthMm + over, middleY),
  ];
}

/**
 * A sheet for the bed of the press at its true size: outlines of paper (dashed) and plate, the plate's centre lines,
 * ticks that tell head from foot, and a ruler to check the printer by. RangeError where the plate does not fit the paper.
 */
export function bedTemplate({ paper, plate, footMm, name }: BedWish): LinePage {
  const widthMm = Math.max(paper.widthMm, RULER_MM) + 2 * MARGIN_MM;
  const heightMm = paper.heightMm + MARGIN_MM + FOOT_MM;
  const foot = footMm ?? (paper.heightMm - plate.heightMm) / 2;
  const head = paper.heightMm - plate.heightMm - foot;
  if (plate.widthMm > paper.widthMm || head < 0 || foot < 0)
    throw new RangeError(
      `a plate of ${plate.widthMm} × ${plate.heightMm} mm, ${foot} mm above the foot, does not lie on paper of ${paper.widthMm} × ${paper.heightMm} mm`,
    );
  const sheet = { xMm: (widthMm - paper.widthMm) / 2, yMm: MARGIN_MM, ...paper };
  const lying = {
    xMm: sheet.xMm + (paper.widthMm - plate.widthMm) / 2,
    yMm: sheet.yMm + head,
    ...plate,
  };
  const below = sheet.yMm + paper.heightMm;
  const middle = lying.xMm + plate.widthMm / 2;
  const size = (width: number, height: number): string =>
    `${Number(width.toFixed(2))} × ${Number(height.toFixed(2))} mm`;
  const says = `paper ${size(paper.widthMm, paper.heightMm)}, plate ${size(plate.widthMm, plate.heightMm)}`;
  const check = 'check with a steel rule';
  return {
    widthMm,
    heightMm,
    lines: [
      { paths: [rectangle(sheet)], dashMm: [4, 2] },
      { paths: [rectangle(lying)] },
      { paths: [], strokes: centreLines(sheet, lying), dashMm: [8, 2] },
      {
        paths: [],
        strokes: [
          ...ticksAt(TICKS.head, middle, sheet.yMm, -1),
          ...ticksAt(TICKS.foot, middle, below, 1),
          ...ruler(sheet.xMm, below + 14),
          ...words(`100 mm: ${check}`, sheet.xMm, below + 20),
          ...words(
            `${name}: ${says}`,
            sheet.xMm,
            below + 25,
            fitting(`${name}: ${says}`, widthMm - 2 * MARGIN_MM),
          ),
        ],
      },
    ],
  };
}

/** Height of letters at which a line fits a width. */
const fitting = (text: string, widthMm: number): number =>
  Math.min(LETTERS_MM, widthMm / textWidthMm(text, 1));
