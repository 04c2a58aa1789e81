import { type Bitmap, createBitmap, setBit } from '../../../../src/core/bitmap.ts';
import { rowStream } from '../../../../src/core/rng.ts';
import type { Texture } from '../../../../src/core/screens/grain/texture.ts';
import type { Drawing } from '../drive.ts';

export interface SlowCells {
  readonly cellX: number;
  readonly cellY: number;
  readonly leadInCells: number;
  /** In parts of 65535 × 256; bit 0 own, 1 before, 2 above, 3 above the one before. */
  readonly losses: ArrayLike<number>;
  readonly texture: Texture;
  readonly strength: number;
  readonly seed: number;
}

const FULL = 65535 * 256;

/**
 * The cells that are to be etched, one decision after the other on a grid with nothing packed: mean tone, threshold,
 * error booked against what the spot leaves, Floyd & Steinberg's weights. Tone is etched tone.
 */
export function slowCells(drawing: Drawing, run: SlowCells): Bitmap {
  const { cellX, cellY, leadInCells, losses, texture, strength } = run;
  const { widthPx, heightPx } = drawing;
  const columns = Math.ceil(widthPx / cellX);
  const rows = Math.ceil(heightPx / cellY);
  const toneOf = (column: number, row: number): number => {
    let sum = 0;
    let count = 0;
    for (let y = row * cellY; y < (row + 1) * cellY; y++)
      for (let x = column * cellX; x < Math.min(widthPx, (column + 1) * cellX); x++) {
        sum += drawing.toneAt(x, Math.min(heightPx - 1, Math.max(0, y)));
        count++;
      }
    const tone = Math.floor((sum * FULL) / (65535 * count) + 0.5);
    const most = FULL - losses[15]!;
    return tone < FULL ? Math.min(tone, most) : FULL;
  };
  const out = createBitmap(widthPx, heightPx);
  // what is shown of the row of cells before: where the drawing's edges cut the last ones, those do as the ones before them
  let shownAbove: number[] = [];
  let above: number[] = new Array(columns).fill(0);
  let errors = firstErrors(columns, (column) => toneOf(column, -leadInCells), run);
  let ahead = 0;
  for (let row = -leadInCells; row < rows; row++) {
    const odd = row % 2 !== 0;
    const step = odd ? -1 : 1;
    const first = odd ? columns - 1 : 0;
    const last = odd ? 0 : columns - 1;
    const drawn: number[] = new Array(columns).fill(0);
    const next: number[] = new Array(columns).fill(0);
    // error that would leave at a side goes to the outermost cell
    const give = (column: number, error: number): void => {
      next[Math.min(columns - 1, Math.max(0, column))]! += error;
    };
    for (let column = first; ; column += step) {
      const up = above[column]!;
      const upBefore = above[column - step] ?? up;
      const upNext = above[column + step] ?? up;
      const before = column === first ? up : drawn[column - step]!;
      let corner = 0;
      if (!before && !up && upBefore) corner += 0.15;
      if (before && up && !upBefore) corner -= 0.15;
      if (!up && upNext) corner += 0.075;
      if (up && !upNext) corner -= 0.075;
      const { sideCells: side, offsets } = texture;
      const mod = (n: number): number => ((n % side) + side) % side;
      const moved = Math.round(offsets[mod(row) * side + mod(column)]! * ((strength * FULL) / 65536));
      const tone = toneOf(column, row);
      const wanted = tone + errors[column]! + ahead;
      const bare = tone === 0 || tone === FULL;
      const own = bare ? Number(tone === FULL) : Number(wanted > Math.round((0.5 + corner) * FULL) + moved);
      let error = wanted - own * FULL + losses[own + 2 * before + 4 * up + 8 * upBefore]!;
      if (bare) error = Math.floor(error / 2);
      const share = Math.floor(error / 16);
      give(column - step, 3 * share);
      give(column, 5 * share);
      give(column + step, share);
      ahead = error - 9 * share;
      drawn[column] = own;
      if (column === last) break;
    }
    const cut = row * cellY < heightPx && (row + 1) * cellY > heightPx && row > 0;
    const shown = drawn.map((own, column) => {
      const tone = toneOf(column, row);
      return cut && tone > 0 && tone < FULL ? shownAbove[column]! : own;
    });
    const lastTone = toneOf(columns - 1, row);
    if (widthPx % cellX > 0 && columns > 1 && lastTone > 0 && lastTone < FULL)
      shown[columns - 1] = shown[columns - 2]!;
    shownAbove = shown;
    above = drawn;
    errors = next;
    for (let y = Math.max(0, row * cellY); y < Math.min(heightPx, (row + 1) * cellY); y++)
      for (let x = 0; x < widthPx; x++) setBit(out, x, y, shown[Math.floor(x / cellX)] as 0 | 1);
  }
  return out;
}

/** Errors as if rows above had left them: evenly from a span that ends at the largest error, wider with the tone. */
function firstErrors(
  columns: number,
  toneOf: (column: number) => number,
  { seed, leadInCells }: SlowCells,
): number[] {
  const next = rowStream(seed, 0, -leadInCells);
  return Array.from({ length: columns }, (_, column) => {
    const tone = Math.floor(toneOf(column) / 256);
    const g = Math.min(tone, 65535 - tone) / 65535;
    const span = g === 0 ? 1 : Math.min(1, 1.4 * Math.sqrt(g));
    const error = 32767 * (1 - (2 * span * next()) / 2 ** 32);
    return Math.round((tone > 32767 ? -error : error) * (9 / 16) * 256);
  });
}
