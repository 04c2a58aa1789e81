import { reachOf, spotRegions } from '../../dist/core/spot/regions.js';

/** @typedef {{ widthPx: number, heightPx: number, strideBytes: number, data: Uint8Array }} Bitmap packed, 1 = fired */

/** Share that is etched of the middle of 3 × 3 pixels, for each of their 512 states; column by column, top left highest. */
function sharesOfNine(shape) {
  const regions = spotRegions(shape).map(({ areaPx, by }) => ({
    areaPx,
    mask: by.reduce((mask, { dx, dy }) => mask | (1 << (4 - 3 * dx - dy)), 0),
  }));
  return Float64Array.from({ length: 512 }, (_, state) =>
    regions.reduce((sum, { areaPx, mask }) => (mask & state ? sum + areaPx : sum), 0),
  );
}

/**
 * Gets ready to say for each pixel which share of it is etched, by pulses of a hard-edged spot. Outside the bitmap nothing
 * fires. Spots up to three pixels, which reach no farther than the eight neighbours; else a RangeError.
 * @param {number} spotPx
 * @returns {(etch: Bitmap) => Float32Array} row by row, 0 … 1
 */
export function openEtchedShares(spotPx) {
  const shape = /** @type {const} */ ({ spotPx, beam: 'pulse' });
  const reach = reachOf(shape);
  if (reach.x > 1 || reach.y > 1) throw new RangeError(`a spot of ${spotPx} pixels: only up to 3`);
  const shares = sharesOfNine(shape);

  return ({ widthPx, heightPx, strideBytes, data }) => {
    const map = new Float32Array(widthPx * heightPx);
    const columns = new Uint8Array(widthPx + 2);
    const addRow = (y) => {
      for (let x = 0; x < columns.length; x++) columns[x] = (columns[x] << 1) & 7;
      if (y >= heightPx) return;
      const at = y * strideBytes;
      for (let x = 0; x < widthPx; x++) columns[x + 1] |= (data[at + (x >> 3)] >> (7 - (x & 7))) & 1;
    };
    addRow(0);
    for (let y = 0, to = 0; y < heightPx; y++) {
      addRow(y + 1);
      for (let x = 0, state = columns[0]; x < widthPx; x++, to++) {
        state =
          x === 0
            ? (columns[0] << 6) | (columns[1] << 3) | columns[2]
            : ((state << 3) & 511) | columns[x + 2];
        map[to] = shares[state];
      }
    }
    return map;
  };
}

/**
 * The etched surface, drawn finer than the plate: a place is 1 where its middle lies under a mark. For widths and shapes; for
 * areas use `openEtchedShares`, as discs of a few places are per cents too large or small.
 * @param {Bitmap} etch
 * @param {number} spotPx
 * @param {number} scale places to a pixel
 * @param {'pulse' | 'sweep'} [beam] a beam that stays on over its pixel draws its disc out along the row
 * @returns {Uint8Array} (widthPx · scale) × (heightPx · scale)
 */
export function etchedSurface({ widthPx, heightPx, strideBytes, data }, spotPx, scale, beam = 'pulse') {
  const wide = widthPx * scale;
  const high = heightPx * scale;
  const surface = new Uint8Array(wide * high);
  const radius = (spotPx * scale) / 2;
  const middle = scale / 2;
  const spans = [];
  for (let y = Math.floor(middle - radius); y < middle + radius; y++) {
    const square = radius * radius - (y + 0.5 - middle) ** 2;
    if (square < 0) continue;
    const half = Math.sqrt(square) + (beam === 'sweep' ? scale / 2 : 0);
    const from = Math.ceil(middle - half - 0.5);
    spans.push({ y, from, to: Math.floor(middle + half - 0.5) + 1 });
  }
  for (let py = 0; py < heightPx; py++)
    for (let px = 0; px < widthPx; px++) {
      if (((data[py * strideBytes + (px >> 3)] >> (7 - (px & 7))) & 1) === 0) continue;
      for (const { y, from, to } of spans) {
        const row = py * scale + y;
        if (row < 0 || row >= high) continue;
        const start = row * wide;
        surface.fill(1, start + Math.max(0, px * scale + from), start + Math.min(wide, px * scale + to));
      }
    }
  return surface;
}
