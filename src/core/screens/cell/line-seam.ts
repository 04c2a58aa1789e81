import type { ScreenFinding } from '../contract.ts';

/** Who takes lines and lettering out of a picture and draws them himself, at full resolution; all in etched terms. */
export interface LineSplit {
  /** By how many rows its answers come behind the tone. */
  readonly delayRows: number;
  /** Takes the next row of ink tone. */
  row(tone: Uint16Array, y: number): void;
  /** Once row y has been taken, for the row of cells that y − delayRows lies in: 0 screen the cell, 1 keep it, 2 etch it. */
  forced(cellRow: number): Uint8Array;
  /** Likewise for row y − delayRows: packed bits, etched = 1, that count in cells which are forced. */
  etchedRow(y: number): Uint8Array;
  /** What was too narrow to hold in the rows so far. */
  found(): readonly ScreenFinding[];
}
