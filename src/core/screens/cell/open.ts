import { complementRow, strideFor } from '../../bitmap.ts';
import type { ScreenRow } from '../contract.ts';
import { FORCED, type LineArt } from '../line-art/index.ts';
import { type CellDiffusion, ETCHED, FULL, KEPT, openCellDiffusion } from './diffuse.ts';
import type { Span } from './size.ts';
import { openSpread } from './spread.ts';
import { addRow, type CellTones, createSums, readTones } from './sums.ts';

export interface CellRun extends Omit<CellDiffusion, 'cells'> {
  readonly widthPx: number;
  readonly cellPx: Span;
  /** True where the paper is etched and not the ink. */
  readonly turned: boolean;
  /** A whole multiple of the cell's height. */
  readonly firstRow: number;
  readonly lines: LineArt | null;
}

/** Rows that bits come behind tone: before its first row is drawn, the last row of a cell has to be known, to the lines too. */
export const delayFor = (cellY: number, lineDelayRows: number): number => cellY - 1 + lineDelayRows;

/** Gathers tone into cells, screens a row of cells when it is whole, and draws it row by row. */
export function openCells(run: CellRun): ScreenRow {
  const { widthPx, cellPx, turned, firstRow, lines } = run;
  const cells = Math.ceil(widthPx / cellPx.x);
  const stride = strideFor(widthPx);
  const delayRows = delayFor(cellPx.y, lines?.delayRows ?? 0);
  const waiting = Array.from({ length: Math.floor(delayRows / cellPx.y) + 1 }, () =>
    createSums(cells, cellPx),
  );
  const reading: CellTones = { widthPx, cellPx, turned, most: FULL - run.losses[15]! };
  const tones = new Int32Array(cells);
  const diffuse = openCellDiffusion({ ...run, cells });
  const cellBits = new Uint8Array(strideFor(cells));
  const spread = openSpread(widthPx, cellPx.x);
  const ink = new Uint8Array(stride);
  const split = lines && openOverlay(lines, cells, widthPx, turned, spread);

  const screenCells = (cellRow: number, sums: (typeof waiting)[number]): void => {
    readTones(sums, reading, tones);
    split?.force(cellRow, tones);
    diffuse(tones, cellRow, cellBits);
    spread(cellBits, ink);
    if (turned) complementRow(ink, 0, widthPx);
  };

  const screen: ScreenRow = (tone, y, bits, at) => {
    const row = y - firstRow;
    const sums = waiting[Math.floor(row / cellPx.y) % waiting.length]!;
    addRow(tone, sums, cellPx.x, row % cellPx.y === 0);
    lines?.row(tone, y);
    const ready = row - delayRows;
    if (ready < 0) {
      bits.fill(0, at, at + stride);
      return;
    }
    const index = Math.floor(ready / cellPx.y);
    if (ready % cellPx.y === 0) screenCells(firstRow / cellPx.y + index, waiting[index % waiting.length]!);
    bits.set(ink, at);
    split?.draw(y - delayRows, bits, at);
  };
  if (lines) screen.found = (fromRow, toRow) => lines.found(fromRow, toRow);
  return screen;
}

/** Lays the lines over the cells that they claim. */
function openOverlay(
  lines: LineArt,
  cells: number,
  widthPx: number,
  turned: boolean,
  spread: ReturnType<typeof openSpread>,
) {
  const claimed = new Uint8Array(strideFor(cells));
  const mask = new Uint8Array(strideFor(widthPx));
  const turn = turned ? 0xff : 0;
  let any = false;
  return {
    force(cellRow: number, tones: Int32Array): void {
      const forced = lines.forced(cellRow);
      claimed.fill(0);
      any = false;
      for (let i = 0; i < cells; i++) {
        if (forced[i] === FORCED.screen) continue;
        tones[i] = forced[i] === FORCED.kept ? KEPT : ETCHED;
        claimed[i >> 3] = claimed[i >> 3]! | (0x80 >> (i & 7));
        any = true;
      }
      if (any) spread(claimed, mask);
    },
    draw(y: number, bits: Uint8Array, at: number): void {
      if (!any) return;
      const etched = lines.etchedRow(y);
      for (let i = 0; i < mask.length; i++) {
        const line = mask[i]!;
        if (line !== 0) bits[at + i] = (bits[at + i]! & ~line) | ((etched[i]! ^ turn) & line);
      }
    },
  };
}
