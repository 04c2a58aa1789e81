import type { Stroke } from '../../layout/strokefont.ts';
import { arcPoints } from '../../outlines/arcs.ts';
import type { Loop } from '../../outlines/contract.ts';
import type { AidDef, AidMark } from '../contract.ts';

/** Holes for filing (ISO 838): 80 mm apart, 6 mm wide, 12 mm from the edge; any office punch makes the tabs to fit. */
const APART_MM = 80;
const HOLE_MM = 6;
const FROM_EDGE_MM = 12;
const STRIP_MM = { width: 120, height: 24 } as const;
/** Ticks at the head of the plate, where the strip's middle and pins lie against it. */
const TICK_MM = 5;
const AIR_MM = 1;

const rectangle = (x: number, y: number, width: number, height: number): Loop => [
  { x, y },
  { x: x + width, y },
  { x: x + width, y: y + height },
  { x, y: y + height },
];

/** Two pins on a strip that lies against the head of every plate; the sheet hangs on them by tabs. */
export const pins: AidDef = {
  kind: 'pins',
  summary:
    'two pins on a strip at the head of the plate, and ticks to lay it by; sheets hang on punched tabs',
  matrices: ['block', 'plate'],
  mostLineMm: 1,
  // from memory
  achievableMm: 0.2,
  hasScales: false,
  notes: [
    'Cut the strip from board as thick as the plates, set pins of 6 mm into its holes, and lay it against the head of the plate, its middle and its pins at the three ticks.',
    'Tape a punched tab of thin strong card to the head of every sheet, and leave it on until the last plate is printed.',
    'The strip stays on the bed; take the pins out of the way of the roller, or print with pins lower than the plate.',
  ],
  room: () => ({ borderMm: TICK_MM + 2 * AIR_MM, shortSideMm: 20, longSideMm: 0 }),
  marks({ widthMm, lineMm }) {
    const ticks = [0, -APART_MM / 2, APART_MM / 2].map((off) => widthMm / 2 + off);
    // a plate narrower than the pins are apart has its middle alone
    const shown = ticks.filter((xMm) => xMm > AIR_MM + lineMm && xMm < widthMm - AIR_MM - lineMm);
    return shown.map((xMm): AidMark => {
      const stroke: Stroke = [
        { xMm, yMm: AIR_MM + lineMm / 2 },
        { xMm, yMm: AIR_MM + TICK_MM - lineMm / 2 },
      ];
      const box = { xMm: xMm - lineMm / 2, yMm: AIR_MM, widthMm: lineMm, heightMm: TICK_MM };
      return { box, strokes: [stroke], areas: [] };
    });
  },
  shelf: () => null,
  cut() {
    const { width, height } = STRIP_MM;
    const r = HOLE_MM / 2;
    const holes = [-1, 1].map((side) =>
      arcPoints({ x: width / 2 + (side * APART_MM) / 2, y: FROM_EDGE_MM }, r, r, 0, 2 * Math.PI).slice(0, -1),
    );
    return [rectangle(0, 0, width, height), ...holes];
  },
};
