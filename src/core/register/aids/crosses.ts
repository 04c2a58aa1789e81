import type { Stroke } from '../../layout/strokefont.ts';
import type { AidDef, AidMark, RegisterPlace, ScaleSide } from '../contract.ts';

/** Arms of 6 to 8 mm are common practice; the shorter ones want less waste. */
const ARM_MM = 6;
/** Left bare between marks, and between them and the edges of the waste. */
const AIR_MM = 1;
/** Divisions of the key's scale and of the others': a line of one meets a line of the other for each tenth of a mm. */
export const DIVISION_MM = { first: 1, second: 0.9 } as const;
/** Lines to either side of the middle one: ten divisions. */
export const LINES_PER_SIDE = 5;
const SCALE_MM = LINES_PER_SIDE * DIVISION_MM.first;
/** Heights of its lines: in the middle, at both ends, of all others. */
const TALL_MM = 2.4;
const END_MM = 2;
const SHORT_MM = 1.4;

/** A place in the waste, and which way the waste runs there. */
interface Site {
  readonly xMm: number;
  readonly yMm: number;
  readonly runs: 'x' | 'y';
}

/** The middles of all four sides. */
function sitesOf({ widthMm, heightMm, borderMm }: RegisterPlace): Site[] {
  const half = borderMm / 2;
  return [
    { xMm: half, yMm: heightMm / 2, runs: 'y' },
    { xMm: widthMm - half, yMm: heightMm / 2, runs: 'y' },
    { xMm: widthMm / 2, yMm: half, runs: 'x' },
    { xMm: widthMm / 2, yMm: heightMm - half, runs: 'x' },
  ];
}

/** A line between two places given along and across the waste, from the middle of a site. */
const line = (
  { xMm, yMm, runs }: Site,
  [a0, c0, a1, c1]: readonly [along: number, across: number, along: number, across: number],
): Stroke => {
  const at = (along: number, across: number) =>
    runs === 'x' ? { xMm: xMm + along, yMm: yMm + across } : { xMm: xMm + across, yMm: yMm + along };
  return [at(a0, c0), at(a1, c1)];
};

function mark(strokes: readonly Stroke[], lineMm: number): AidMark {
  const points = strokes.flat();
  const left = Math.min(...points.map(({ xMm }) => xMm)) - lineMm / 2;
  const top = Math.min(...points.map(({ yMm }) => yMm)) - lineMm / 2;
  const right = Math.max(...points.map(({ xMm }) => xMm)) + lineMm / 2;
  const bottom = Math.max(...points.map(({ yMm }) => yMm)) + lineMm / 2;
  return { box: { xMm: left, yMm: top, widthMm: right - left, heightMm: bottom - top }, strokes, areas: [] };
}

const lineHeight = (k: number): number =>
  k === 0 ? TALL_MM : Math.abs(k) === LINES_PER_SIDE ? END_MM : SHORT_MM;

/**
 * One scale whose lines stand on a common line, the key's on one side of it and the others' on the other. `measures`
 * says whether it reads along the waste or across it; `offMm` where its middle is, along the waste.
 */
function scale(site: Site, measures: 'along' | 'across', offMm: number, side: ScaleSide): Stroke[] {
  const step = DIVISION_MM[side];
  const to = side === 'first' ? -1 : 1;
  const reach = LINES_PER_SIDE * step;
  const turned = (along: number, across: number): [number, number] =>
    measures === 'along' ? [offMm + along, across] : [offMm + across, along];
  const between = (a: readonly [number, number], b: readonly [number, number]): Stroke =>
    line(site, [...a, ...b]);
  const strokes = [between(turned(-reach, 0), turned(reach, 0))];
  for (let k = -LINES_PER_SIDE; k <= LINES_PER_SIDE; k++)
    strokes.push(between(turned(k * step, 0), turned(k * step, to * lineHeight(k))));
  return strokes;
}

const crossAt = (site: Site): Stroke[] => [
  line(site, [-ARM_MM, 0, ARM_MM, 0]),
  line(site, [0, -ARM_MM, 0, ARM_MM]),
];

/** A cross in the middle of every side, each with a vernier along it and one across. */
export const crosses: AidDef = {
  kind: 'crosses',
  summary: 'crosses in the middle of all sides, with verniers that read to 0.1 mm',
  matrices: ['block', 'plate'],
  // lines half a division wide leave as much between them
  mostLineMm: DIVISION_MM.second / 2,
  // by eye from cross to cross; from memory
  achievableMm: 0.5,
  hasScales: true,
  notes: [
    'Lay each sheet so that the crosses fall on each other; they are in the waste and are trimmed off.',
    'To read a vernier: whole millimetres where its middle line stands, and 0.1 mm for each line from there to the one that meets a line of the other scale, less where that lies to the left of or above the middle.',
  ],
  room: (lineMm) => ({
    borderMm: 2 * ARM_MM + lineMm + 2 * AIR_MM,
    shortSideMm: 2 * (ARM_MM + 2 * AIR_MM + 2 * SCALE_MM + lineMm),
    longSideMm: 0,
  }),
  marks: (place, side) =>
    sitesOf(place).flatMap((site) => {
      const beyondMm = ARM_MM + 2 * AIR_MM;
      return [
        mark(crossAt(site), place.lineMm),
        mark(scale(site, 'along', beyondMm + SCALE_MM, side), place.lineMm),
        mark(scale(site, 'across', -beyondMm - TALL_MM, side), place.lineMm),
      ];
    }),
  shelf: () => null,
  cut: () => [],
};
