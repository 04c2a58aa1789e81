import type { AidDef } from '../../../src/core/register/contract.ts';

const [EDGE_MM, TICK_MM, AIR_MM] = [1, 5, 0.5];

/** A tick in the middle of head and foot. */
export const ticks: AidDef = {
  kind: 'ticks',
  summary: 'a tick in the middle of head and foot, to lay plates by eye',
  matrices: ['block', 'plate'],
  mostLineMm: 0.5,
  achievableMm: 1, // by eye; from memory
  hasScales: false,
  notes: ['Lay the ticks of the plate on a line drawn across the bed.'],
  room: () => ({ borderMm: EDGE_MM + TICK_MM + AIR_MM, shortSideMm: 3 * TICK_MM, longSideMm: 0 }),
  marks: ({ widthMm, heightMm, lineMm }) =>
    [EDGE_MM, heightMm - EDGE_MM - TICK_MM].map((yMm) => {
      const xMm = widthMm / 2;
      return {
        box: { xMm: xMm - lineMm, yMm, widthMm: 2 * lineMm, heightMm: TICK_MM },
        strokes: [
          [
            { xMm, yMm: yMm + lineMm },
            { xMm, yMm: yMm + TICK_MM - lineMm },
          ],
        ],
        areas: [],
      };
    }),
  shelf: () => null,
  cut: () => [],
};
