import { FORCED, type LineArtPlace } from '../../../../src/core/screens/line-art/index.ts';
import type { Drawing } from '../drive.ts';
import type { LineRun } from './run.ts';
import { closed, type Field, fieldOf, opened } from './slow.ts';

/** Cells that are not line art, screened plainly: Floyd & Steinberg on the cells' means, line art swallowing the error. */
function screenCells(drawing: Drawing, place: LineArtPlace, forced: Field): Field {
  const { width, height } = forced;
  const errors = new Float64Array((width + 2) * (height + 1));
  return fieldOf(width, height, (i, j) => {
    let tone = 0;
    for (let y = 0; y < place.cellYPx; y++) {
      for (let x = 0; x < place.cellXPx; x++) {
        const atX = Math.min(drawing.widthPx - 1, i * place.cellXPx + x);
        const atY = Math.min(drawing.heightPx - 1, j * place.cellYPx + y);
        tone += drawing.toneAt(atX, atY) / (65535 * place.cellXPx * place.cellYPx);
      }
    }
    if (forced.bits[j * width + i] !== FORCED.screen) return false;
    const at = j * (width + 2) + i + 1;
    const wanted = (place.etchedSide === 'ink' ? tone : 1 - tone) + errors[at]!;
    const etch = wanted > 0.5;
    const error = wanted - (etch ? 1 : 0);
    const below = at + width + 2;
    errors[at + 1] = errors[at + 1]! + (error * 7) / 16;
    errors[below - 1] = errors[below - 1]! + (error * 3) / 16;
    errors[below] = errors[below]! + (error * 5) / 16;
    errors[below + 1] = errors[below + 1]! + error / 16;
    return etch;
  });
}

/** The plate before the erosion: line cells from the line bitmap, the others screened, then opened and closed as a whole. */
export function plateOf(drawing: Drawing, place: LineArtPlace, { etched, forced }: LineRun): Field {
  const cells = screenCells(drawing, place, forced);
  const bits = fieldOf(drawing.widthPx, drawing.heightPx, (x, y) => {
    const cell = Math.floor(y / place.cellYPx) * forced.width + Math.floor(x / place.cellXPx);
    if (forced.bits[cell] === FORCED.screen) return cells.bits[cell] === 1;
    return etched.bits[y * drawing.widthPx + x] === 1;
  });
  return trimmed(bits, place);
}

function trimmed(field: Field, { holdXPx, holdYPx }: LineArtPlace): Field {
  const hold = { x: holdXPx, y: holdYPx };
  return closed(opened(field, hold), hold);
}

/** Borders between etched and kept pixels, counted along rows and along columns. */
export function perimeter({ width, height, bits }: Field): number {
  let borders = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const here = bits[y * width + x];
      if (x > 0 && bits[y * width + x - 1] !== here) borders++;
      if (y > 0 && bits[(y - 1) * width + x] !== here) borders++;
    }
  }
  return borders;
}

/** Pixels that differ. */
export const unlike = (a: Field, b: Field): number =>
  a.bits.reduce((sum, bit, i) => sum + (bit === b.bits[i] ? 0 : 1), 0);
