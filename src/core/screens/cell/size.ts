import { EtchError } from '../../errors.ts';
import type { ScreenPlace } from '../contract.ts';

/** Pixels along x and y. */
export interface Span {
  readonly x: number;
  readonly y: number;
}

/** How large a cell is on a plate, and by how much its etched side is eroded to the pulses that fill it; 1 erodes nothing. */
export interface CellSize {
  readonly cellPx: Span;
  readonly erodePx: Span;
}

/** Range of the setting, in mm. */
export const LEAST_CELL_MM = 0.02;
/** See `LEAST_CELL_MM`. */
export const MOST_CELL_MM = 5;

/** From one place of the bed to another a spot varies by about a tenth (from memory). */
const SPOT_MARGIN = 1.1;

/** A length that was meant to be whole pixels may be this much above them. */
const FLOAT_NOISE_PX = 1e-6;

const wholePx = (px: number): number => Math.max(1, Math.ceil(px - FLOAT_NOISE_PX));

/** The square that the spot fits into, whose pulses the erosion leaves. A swept mark is a pixel longer than the spot. */
const spotSpan = ({ spotPx, beam }: ScreenPlace): Span => ({
  x: wholePx(beam === 'sweep' ? spotPx + 1 : spotPx),
  y: wholePx(spotPx),
});

/** The cell of a settled length on this plate: whole pixels, at least that long, and not narrower than what one firing marks. */
export function cellSize(cellMm: number, place: ScreenPlace): CellSize {
  const side = wholePx(cellMm * place.pxPerMm);
  if (!place.allowsForSpot) return { cellPx: { x: side, y: side }, erodePx: { x: 1, y: 1 } };
  const erodePx = spotSpan(place);
  return { cellPx: { x: Math.max(side, erodePx.x), y: Math.max(side, erodePx.y) }, erodePx };
}

/**
 * The length of a cell in mm: as given, or the smallest that spot, marks and lands bear, rounded up to whole pixels.
 * EtchError where the spot is to be allowed for and no cell of the given length can hold one.
 */
export function settleCellMm(cellMm: number | undefined, place: ScreenPlace): number {
  const { pxPerMm, spotPx, minEtchedPx, minKeptPx, allowsForSpot } = place;
  const spotFits = spotSpan(place).y;
  if (cellMm === undefined) {
    const least = Math.max(spotPx * SPOT_MARGIN, minEtchedPx, minKeptPx, LEAST_CELL_MM * pxPerMm);
    return Math.min(wholePx(least) / pxPerMm, MOST_CELL_MM);
  }
  if (allowsForSpot && wholePx(cellMm * pxPerMm) < spotFits)
    throw new EtchError(
      'usage',
      'cell-under-spot',
      `Screening in cells of ${cellMm} mm: the spot is ${Number((spotPx / pxPerMm).toFixed(4))} mm wide, and a cell has to hold one whole mark.`,
      `Give a cell of at least ${Math.ceil((spotFits / pxPerMm) * 1000) / 1000} mm, or leave it out to have the smallest that holds.`,
    );
  return cellMm;
}
