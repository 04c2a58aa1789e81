import { complementRow, strideFor } from '../../bitmap.ts';
import type { ScreenRow } from '../contract.ts';
import { BLOCK, FORCED, type LineArt } from '../line-art/index.ts';
import { type CellDiffusion, ETCHED, FULL, KEPT, openCellDiffusion, rulesFor } from './diffuse.ts';
import { openLoops } from './loops.ts';
import type { Span } from './size.ts';
import { openSpread } from './spread.ts';

/** What a run of rows is started with. */
export interface CellRun extends Omit<CellDiffusion, 'cells'> {
  readonly widthPx: number;
  /** Infinity where the picture has no end. */
  readonly heightPx: number;
  readonly cellPx: Span;
  /** What the spot leaves of the cells around a vertex, as `vertexLosses` gives it. */
  readonly losses: Int32Array;
  /** True where the paper is etched and not the ink. */
  readonly turned: boolean;
  /** A whole multiple of the cell's height. */
  readonly firstRow: number;
  readonly lines: LineArt | null;
}

/** Rows that bits come behind tone where cells are `cellY` rows high: before its first row is drawn, the last row of a cell has to be known, to the lines too. */
export const delayFor = (cellY: number, lineDelayRows: number): number => cellY - 1 + lineDelayRows;

/** Gathers tone into cells, screens a row of cells when it is whole, and draws it row by row. */
export function openCells(run: CellRun): ScreenRow {
  const { widthPx, heightPx, cellPx, turned, firstRow, lines } = run;
  const cells = Math.ceil(widthPx / cellPx.x);
  const stride = strideFor(widthPx);
  const delayRows = delayFor(cellPx.y, lines?.delayRows ?? 0);
  const waiting = Math.floor(delayRows / cellPx.y) + 1;
  const loops = openLoops({
    widthPx,
    cells,
    cellPx,
    turned,
    most: FULL - run.losses[15]!,
    waiting,
    rules: rulesFor(run.losses),
    textureCells: run.texture.sideCells,
  });
  const { tones, bits: cellBits } = loops;
  const diffuse = openCellDiffusion({ ...run, cells }, loops);
  const above = new Uint8Array(cellBits.length);
  const spread = openSpread(widthPx, cellPx.x);
  const ink = new Uint8Array(stride);
  // edges of the picture may cut the last cells narrower than what holds: unless bare or solid, those do as the ones before
  const joinsLast = widthPx % cellPx.x > 0 && cells > 1;
  const cutRow = heightPx % cellPx.y > 0 ? Math.floor(heightPx / cellPx.y) : -1;
  const split = lines && openOverlay(lines, cells, widthPx, turned, spread);

  const screenCells = (cellRow: number, from: number): void => {
    loops.read(from);
    split?.force(cellRow, tones);
    if (cellRow === cutRow) above.set(cellBits);
    diffuse(cellRow);
    const isTone = (i: number): boolean => tones[i]! > 0 && tones[i]! < FULL;
    if (cellRow === cutRow && cellRow > 0)
      for (let i = 0; i < cells; i++) if (isTone(i)) copyBit(above, i, cellBits, i);
    if (joinsLast && isTone(cells - 1)) copyBit(cellBits, cells - 2, cellBits, cells - 1);
    spread(cellBits, ink);
    if (turned) complementRow(ink, 0, widthPx);
  };

  const screen: ScreenRow = (tone, y, bits, at) => {
    const row = y - firstRow;
    loops.add(tone, Math.floor(row / cellPx.y) % waiting, row % cellPx.y);
    lines?.row(tone, y);
    const ready = row - delayRows;
    if (ready < 0) {
      bits.fill(0, at, at + stride);
      return;
    }
    const index = Math.floor(ready / cellPx.y);
    if (ready % cellPx.y === 0) screenCells(firstRow / cellPx.y + index, index % waiting);
    bits.set(ink, at);
    split?.draw(y - delayRows, bits, at);
  };
  if (lines) screen.found = (fromRow, toRow) => lines.found(fromRow, toRow);
  // whole cells are their own openings
  screen.needsOpening = () => split?.drewAny() ?? false;
  return screen;
}

function copyBit(bits: Uint8Array, from: number, target: Uint8Array, to: number): void {
  const mask = 0x80 >> (to & 7);
  const isSet = (bits[from >> 3]! & (0x80 >> (from & 7))) !== 0;
  target[to >> 3] = isSet ? target[to >> 3]! | mask : target[to >> 3]! & ~mask;
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
  let ever = false;
  return {
    drewAny: () => ever,
    force(cellRow: number, tones: Int32Array): void {
      any = false;
      if (!lines.any(cellRow)) return;
      const forced = lines.forced(cellRow);
      claimed.fill(0);
      for (let i = 0; i < cells; i++) {
        if (i % BLOCK === 0 && !lines.anyIn(cellRow, i / BLOCK)) {
          i += BLOCK - 1;
          continue;
        }
        if (forced[i] === FORCED.screen) continue;
        tones[i] = forced[i] === FORCED.kept ? KEPT : ETCHED;
        claimed[i >> 3] = claimed[i >> 3]! | (0x80 >> (i & 7));
        any = true;
      }
      if (any) spread(claimed, mask);
      ever ||= any;
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
