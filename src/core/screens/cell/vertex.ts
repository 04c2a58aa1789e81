import { type Bitmap, createBitmap, setBit } from '../../bitmap.ts';
import { openSpot } from '../../spot/coverage.ts';
import type { SpotShape } from '../../spot/regions.ts';
import { FULL } from './diffuse.ts';
import type { CellSize } from './size.ts';

/** Etched pixels of a row of cells, as the erosion leaves them: those with `erode` etched ones from there on. */
function pulses(cells: readonly (readonly [boolean, boolean])[], { cellPx, erodePx }: CellSize): Bitmap {
  // marks reach beyond their cells by half of what was eroded, up and to the left
  const margin = Math.max(erodePx.x, erodePx.y);
  const widthPx = 2 * (cellPx.x + margin);
  const heightPx = 2 * (cellPx.y + margin);
  const map = createBitmap(widthPx, heightPx);
  // pixels from here on that are etched in every row of the erosion's rectangle
  const down = new Int32Array(widthPx);
  for (let y = heightPx - 1; y >= 0; y--) {
    const row = cells[Math.floor((y - margin) / cellPx.y)];
    let across = 0;
    for (let x = widthPx - 1; x >= 0; x--) {
      down[x] = row?.[Math.floor((x - margin) / cellPx.x)] ? down[x]! + 1 : 0;
      across = down[x]! >= erodePx.y ? across + 1 : 0;
      if (across >= erodePx.x) setBit(map, x, y, 1);
    }
  }
  return map;
}

/**
 * What the beam leaves unetched of the cells around a vertex, by which of the four are etched: bit 0 the cell itself,
 * 1 the one before it in its row, 2 the one above, 3 the one above the one before; in parts of FULL of one cell's area.
 *
 * The loss of a few cells is the sum over their vertices, because within half a cell of a vertex nothing is reached
 * better from farther away; so each pattern is found from the exact area of one small group of cells.
 */
export function vertexLosses(shape: SpotShape, size: CellSize): Int32Array {
  const etchedPx = openSpot(shape);
  const cellArea = size.cellPx.x * size.cellPx.y;
  const lossOf = (a: number, b: number, c: number, d: number): number => {
    const map = pulses(
      [
        [a === 1, b === 1],
        [c === 1, d === 1],
      ],
      size,
    );
    return a + b + c + d - etchedPx(map, 0, map.heightPx) / cellArea;
  };
  const single = lossOf(1, 0, 0, 0) / 4;
  const beside = (lossOf(1, 1, 0, 0) - 4 * single) / 2;
  const stacked = (lossOf(1, 0, 1, 0) - 4 * single) / 2;
  const corner = lossOf(1, 0, 0, 1) - 6 * single;
  const three = lossOf(1, 1, 1, 0) - 5 * single - beside - stacked;
  const four = lossOf(1, 1, 1, 1) - 4 * single - 2 * beside - 2 * stacked;
  const [s, b, t, c, h] = [single, beside, stacked, corner, three];
  return Int32Array.from([0, s, s, b, s, t, c, h, s, c, t, h, b, h, h, four], (share) =>
    Math.round(share * FULL),
  );
}
