import type { Stroke } from '../../layout/strokefont.ts';
import type { AidDef } from '../contract.ts';

/** Width of the jig's arms, and the share of each side that lies against it; from memory. */
const ARM_WIDTH_MM = 30;
const SIDE_SHARE = 0.5;
const LONGEST_ARM_MM = 150;
/** Cut out of the inner corner, so that a burr or a crumb there does not hold the plate off. */
const RELIEF_MM = 3;
/** The mark of the corner: from the edge of the plate, its arms, and the arrow beside it. */
const EDGE_MM = 1.5;
const MARK_MM = 4;
const ARROW_MM = 6;
const HEAD_MM = 1.2;
/** Left bare before the picture. */
const AIR_MM = 0.5;

/** An L of board as thick as the plates, fixed to the press bed: every plate is pushed into it by the same corner. */
export const corner: AidDef = {
  kind: 'corner',
  summary:
    'a corner jig (L) cut from board as thick as the plates, and a mark of the corner that goes into it',
  matrices: ['block', 'plate'],
  mostLineMm: 1,
  // the plate lies true, the sheet by a template on the bed; from memory
  achievableMm: 0.5,
  hasScales: false,
  notes: [
    'Cut the jig from board as thick as the plates and fix it to the bed. Push every plate into it by the marked corner: the lower left of the print, the lower right of a mirrored plate.',
    'The arrow points to the head of the print. Lay every sheet the same way round.',
    'Two intaglio plates pulled without lifting the sheet: leave the paper trapped under the roller, fold it back, change the plate, and lay it down again.',
  ],
  room: (lineMm) => ({
    borderMm: EDGE_MM + MARK_MM + lineMm + AIR_MM,
    shortSideMm: 2 * (EDGE_MM + MARK_MM + ARROW_MM),
    longSideMm: 0,
  }),
  marks({ heightMm, lineMm }) {
    const half = lineMm / 2;
    const left = EDGE_MM + half;
    const foot = heightMm - EDGE_MM - half;
    const middle = left + MARK_MM / 2;
    const tip = foot - MARK_MM - 1 - ARROW_MM;
    const at = (xMm: number, yMm: number) => ({ xMm, yMm });
    const strokes: Stroke[] = [
      [at(left, foot - MARK_MM + half), at(left, foot), at(left + MARK_MM - half, foot)],
      [at(middle, tip + ARROW_MM), at(middle, tip)],
      [at(middle - HEAD_MM, tip + HEAD_MM), at(middle, tip), at(middle + HEAD_MM, tip + HEAD_MM)],
    ];
    const box = {
      xMm: EDGE_MM,
      yMm: tip - lineMm,
      widthMm: MARK_MM + lineMm,
      heightMm: heightMm - EDGE_MM - tip + lineMm,
    };
    return [{ box, strokes, areas: [] }];
  },
  shelf: () => null,
  cut({ widthMm, heightMm }) {
    const across = ARM_WIDTH_MM + Math.min(LONGEST_ARM_MM, SIDE_SHARE * widthMm);
    const down = ARM_WIDTH_MM + Math.min(LONGEST_ARM_MM, SIDE_SHARE * heightMm);
    const inner = ARM_WIDTH_MM;
    const at = (x: number, y: number) => ({ x, y });
    return [
      [
        at(0, 0),
        at(across, 0),
        at(across, inner),
        at(inner + RELIEF_MM, inner),
        at(inner + RELIEF_MM, inner - RELIEF_MM),
        at(inner - RELIEF_MM, inner - RELIEF_MM),
        at(inner - RELIEF_MM, inner + RELIEF_MM),
        at(inner, inner + RELIEF_MM),
        at(inner, down),
        at(0, down),
      ],
    ];
  },
};
