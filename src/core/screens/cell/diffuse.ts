import { seedRow } from '../diffusion/noise.ts';
import { UNIT_BITS } from '../diffusion/units.ts';
import type { Texture } from '../grain/texture.ts';

/** Tone of a cell that is etched whole. */
export const FULL = 65535 << UNIT_BITS;

/** Tones that stand for a cell which is not to be screened: it is kept or etched, and no error passes through it. */
export const KEPT = -1;
/** See `KEPT`. */
export const ETCHED = FULL + 1;

/**
 * How far a cell is kept from meeting another corner to corner, in parts of FULL. Measured at a spot as wide as the
 * cell, on the demo's picture: of the land 1.2 % is narrower than the spot (1.9 % at 0.1, 0.7 % at 0.2), for 0.3 dB of detail each step.
 */
const CORNER = 0.15;

/** One plate’s run over rows of cells. */
export interface CellDiffusion {
  readonly cells: number;
  /** What the spot leaves of the cells around a vertex, as `vertexLosses` gives it. */
  readonly losses: Int32Array;
  readonly texture: Texture;
  /** Strength of the texture, 0 … 1. */
  readonly strength: number;
  readonly seed: number;
  readonly plate: number;
}

/**
 * What the cells already drawn around one mean for it, by bits: 0 above the next, 1 above, 2 above the one before, 3
 * before it. Four numbers each: the limit above which it is etched, the error booked if it is kept, what etching it
 * adds to that, and a spare one. One table and not three, for want of registers.
 */
function rulesFor(losses: Int32Array): Int32Array {
  const rules = new Int32Array(4 * 16);
  for (let at = 0; at < 16; at++) {
    const [aboveNext, above, aboveBefore, before] = [at & 1, (at >> 1) & 1, (at >> 2) & 1, (at >> 3) & 1];
    let corner = 0;
    if (before === above && aboveBefore !== above) corner += above ? -1 : 1;
    if (aboveNext !== above) corner += above ? -0.5 : 0.5;
    const vertex = (before << 1) | (above << 2) | (aboveBefore << 3);
    rules[4 * at] = Math.round((0.5 + corner * CORNER) * FULL);
    rules[4 * at + 1] = losses[vertex]!;
    rules[4 * at + 2] = losses[vertex | 1]! - losses[vertex]! - FULL;
  }
  return rules;
}

/**
 * Error diffusion on cells: `tones` are wanted etched tones, 0 … FULL or one of the two above; the row's etched cells
 * are written to `bits`, packed. Weights of Floyd & Steinberg, Proc. SID 17(2), 1976; error is booked against the area that the beam will etch.
 * Serpentine by row number; rows come in order. What bare and full cells are handed they halve, so that no error
 * is carried through a white ground or a solid to be let go behind it.
 */
export function openCellDiffusion(run: CellDiffusion) {
  const { cells, strength, seed, plate } = run;
  const { sideCells, offsets } = run.texture;
  const rules = rulesFor(run.losses);
  // one cell more on each side takes the error that leaves the picture
  const errors = new Int32Array(cells + 2);
  const drawn = new Uint8Array(cells + 2);
  const moved = new Int32Array(sideCells);
  const mask = sideCells - 1;
  let carried = 0;
  let seeded = false;

  return (tones: Int32Array, cellRow: number, bits: Uint8Array): void => {
    if (!seeded) {
      const firstTones = Uint16Array.from(tones, (tone) => Math.min(65535, Math.max(0, tone >> UNIT_BITS)));
      const scale = (9 / 16) * (1 << UNIT_BITS);
      seedRow(errors.subarray(1, cells + 1), firstTones, { seed, plate, noise: 1 }, cellRow, scale);
      seeded = true;
    }
    const texture = (cellRow & mask) * sideCells;
    const perOffset = (strength * FULL) / 65536;
    const used = Math.min(cells, sideCells);
    // to the nearest whole number, ties upwards, without a call
    for (let i = 0; i < used; i++) moved[i] = ((offsets[texture + i]! * perOffset + FULL + 0.5) | 0) - FULL;

    const back = (cellRow & 1) === 1;
    const step = back ? -1 : 1;
    const start = back ? cells - 1 : 0;
    const end = back ? -1 : cells;
    // beyond its sides the picture is taken to go on
    drawn[0] = drawn[1]!;
    drawn[cells + 1] = drawn[cells]!;
    let above = 12 * drawn[start + 1]!;
    let before = drawn[start + 1]! << 5;
    let ahead = carried;
    let behindBelow = 0;
    let below = 0;
    for (let i = start; i !== end; i += step) {
      const tone = tones[i]!;
      above = ((above << 1) | (drawn[i + 1 + step]! << 2)) & 28;
      const at = above | before;
      const own = (tone + errors[i + 1]!) | 0;
      let etched: number;
      let error: number;
      if ((tone - 1) >>> 0 < FULL - 1) {
        // what does not wait for the error of the cell before is worked out apart from what does
        const spare = (rules[at]! + moved[i & mask]! - own) | 0;
        etched = (spare - ahead) >> 31;
        error = (own + rules[at + 1]! + ahead + (etched & rules[at + 2]!)) | 0;
      } else {
        etched = -tone >> 31;
        error = (own + rules[at + 1]! + ahead + (etched & rules[at + 2]!)) >> 1;
        if (tone === KEPT || tone === ETCHED) {
          etched = -(tone + 1) >> 31;
          error = 0;
        }
      }
      const share = error >> 4;
      // the cell ahead takes what division leaves over, so no error is lost
      ahead = (error - ((share << 3) + share)) | 0;
      errors[i + 1 - step] = behindBelow + (share << 1) + share;
      behindBelow = (below + (share << 2) + share) | 0;
      below = share;
      before = etched & 32;
      drawn[i + 1] = etched & 1;
    }
    errors[end - step + 1] = behindBelow + below;
    errors[start + 1]! += errors[start + 1 - step]!;
    // the next row starts below the cell at which this one ends
    carried = ahead;
    packCells(drawn, cells, bits);
  };
}

/** Packs cells, a byte each from index 1 on. Apart from the loop above, which has no register to spare for it. */
function packCells(drawn: Uint8Array, cells: number, bits: Uint8Array): void {
  const whole = cells >> 3;
  for (let i = 0, c = 1; i < whole; i++, c += 8)
    bits[i] =
      (drawn[c]! << 7) |
      (drawn[c + 1]! << 6) |
      (drawn[c + 2]! << 5) |
      (drawn[c + 3]! << 4) |
      (drawn[c + 4]! << 3) |
      (drawn[c + 5]! << 2) |
      (drawn[c + 6]! << 1) |
      drawn[c + 7]!;
  if ((cells & 7) === 0) return;
  let last = 0;
  for (let i = whole << 3; i < cells; i++) last |= drawn[i + 1]! << (7 - (i & 7));
  bits[whole] = last;
}
