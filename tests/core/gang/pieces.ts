import type { MarkedPiece } from '../../../src/core/gang/contract.ts';
import type { Extents } from '../../../src/core/time/extents.ts';
import type { Motion } from '../../../src/core/time/motion.ts';

const markedAllOver = (lengthPx: number, lines: number): Extents => ({
  lengthPx,
  first: new Int32Array(lines),
  last: new Int32Array(lines).fill(lengthPx - 1),
});

/** A plate that is marked all over. */
export const solid = (widthPx: number, heightPx: number): MarkedPiece => ({
  widthPx,
  heightPx,
  rows: markedAllOver(widthPx, heightPx),
  columns: markedAllOver(heightPx, widthPx),
});

/** 500 mm/s, and 0.15 s from row to row (2 v / a). */
export const motion: Motion = {
  speedMmS: 500,
  accelMmS2: 1000 / 0.15,
  direction: 'both',
  returnSpeedMmS: 500,
  settleS: 0,
  skipsEmptyRows: true,
  trimsRows: true,
  bedMm: { x: 600, y: 400 },
  slotMinutes: 90,
};
