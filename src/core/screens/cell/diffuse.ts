import { seedRow } from '../diffusion/noise.ts';
import { UNIT_BITS } from '../diffusion/units.ts';
import type { Texture } from '../grain/texture.ts';
import type { CellLoops } from './contract.ts';

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
  readonly texture: Texture;
  /** Strength of the texture, 0 … 1. */
  readonly strength: number;
  readonly seed: number;
  readonly plate: number;
}

/** Where a word of what is kept of the row above has its error, and the bit below that says that its cell is etched. */
const ERROR_SHIFT = 3;
const DRAWN = 4;

/**
 * What the cells already drawn around one mean for it, by bits: 0 the one before it, 1 above the next, 2 above, 3 above
 * the one before. Four numbers each: the limit above which it is etched, the error booked if it is kept, what etching it
 * adds to that, and by how much that limit would be another if the one before it were drawn (those where it is not). One table and not four, for want of registers.
 */
export function rulesFor(losses: Int32Array): Int32Array {
  const rules = new Int32Array(DRAWN * 16);
  for (let at = 0; at < 16; at++) {
    const [before, aboveNext, above, aboveBefore] = [at & 1, (at >> 1) & 1, (at >> 2) & 1, (at >> 3) & 1];
    let corner = 0;
    if (before === above && aboveBefore !== above) corner += above ? -1 : 1;
    if (aboveNext !== above) corner += above ? -0.5 : 0.5;
    const vertex = (before << 1) | (above << 2) | (aboveBefore << 3);
    rules[DRAWN * at] = Math.round((0.5 + corner * CORNER) * FULL);
    rules[DRAWN * at + 1] = losses[vertex]!;
    rules[DRAWN * at + 2] = losses[vertex | 1]! - losses[vertex]! - FULL;
  }
  for (let at = 0; at < rules.length; at += 2 * DRAWN) rules[at + 3] = rules[at + DRAWN]! - rules[at]!;
  return rules;
}

/**
 * Error diffusion on cells: `loops.tones` are wanted etched tones, 0 … FULL or one of the two above; the row's etched cells
 * are packed in `loops.bits`. Weights of Floyd & Steinberg, Proc. SID 17(2), 1976; error is booked against the area that the beam will etch.
 * Serpentine by row number; rows come in order. What bare and full cells are handed they halve, so that no error
 * is carried through a white ground or a solid to be let go behind it.
 */
export function openCellDiffusion(run: CellDiffusion, loops: CellLoops) {
  const { cells, strength, seed, plate } = run;
  const { sideCells, offsets } = run.texture;
  // one cell more on each side takes the error that leaves the picture
  const { tones, kept, moved } = loops;
  const mask = sideCells - 1;
  let seeded = false;

  const begin = (cellRow: number): void => {
    const firstTones = Uint16Array.from(tones, (tone) => Math.min(65535, Math.max(0, tone >> UNIT_BITS)));
    const scale = (9 / 16) * (1 << UNIT_BITS);
    seedRow(kept.subarray(1, cells + 1), firstTones, { seed, plate, noise: 1 }, cellRow, scale);
    for (let i = 1; i <= cells; i++) kept[i] = kept[i]! << ERROR_SHIFT;
    seeded = true;
  };

  return (cellRow: number): void => {
    if (!seeded) begin(cellRow);
    const texture = (cellRow & mask) * sideCells;
    const perOffset = (strength * FULL) / 65536;
    const used = Math.min(cells, sideCells);
    // to the nearest whole number, ties upwards, without a call
    for (let i = 0; i < used; i++) moved[i] = ((offsets[texture + i]! * perOffset + FULL + 0.5) | 0) - FULL;
    // beyond its sides the picture is taken to go on
    kept[0] = kept[1]! & DRAWN;
    kept[cells + 1] = kept[cells]! & DRAWN;
    loops.diffuse((cellRow & 1) === 1);
    loops.pack();
  };
}

/**
 * The cells from `first` to the one before `last`, a `by` of 1 or −1 apart. `kept` has one word for each cell, from
 * index 1 on: of the row above when it begins, of this row when it ends. Gives the error that goes on to the next row,
 * which starts below the cell at which this one ends.
 *
 * Apart from its caller, each word read once and written once, and every sum of parameters cut to 32 bits: with errors
 * and drawn cells apart, in a closure, the loop took a third longer.
 */
export function diffuseRow(
  tones: Int32Array,
  kept: Int32Array,
  rules: Int32Array,
  moved: Int32Array,
  first: number,
  last: number,
  by: number,
  carried: number,
): number {
  const start = first | 0;
  const end = last | 0;
  const step = by | 0;
  const mask = (moved.length - 1) | 0;
  let word = kept[start + 1]!;
  let before = word & DRAWN;
  let above = 6 * before;
  let ahead = carried | 0;
  let behindBelow = 0;
  let below = 0;
  for (let i = start; i !== end; i = (i + step) | 0) {
    const tone = tones[i]!;
    const next = kept[(i + 1 + step) | 0]!;
    above = ((above << 1) | ((next & DRAWN) << 1)) & 56;
    const at = above | before;
    const own = (tone + (word >> ERROR_SHIFT) + ahead) | 0;
    word = next;
    let etched: number;
    let error: number;
    if ((tone - 1) >>> 0 < FULL - 1) {
      etched = (rules[at]! + moved[i & mask]! - own) >> 31;
      error = (own + rules[at + 1]! + (etched & rules[at + 2]!)) | 0;
    } else {
      etched = -tone >> 31;
      error = (own + rules[at + 1]! + (etched & rules[at + 2]!)) >> 1;
      if (tone === KEPT || tone === ETCHED) {
        etched = -(tone + 1) >> 31;
        error = 0;
      }
    }
    const share = error >> 4;
    // the cell ahead takes what division leaves over, so no error is lost
    ahead = (error - ((share << 3) + share)) | 0;
    kept[(i + 1 - step) | 0] = ((behindBelow + (share << 1) + share) << ERROR_SHIFT) | before;
    behindBelow = (below + (share << 2) + share) | 0;
    below = share;
    before = etched & DRAWN;
  }
  kept[end - step + 1] = ((behindBelow + below) << ERROR_SHIFT) | before;
  // error that would leave at the side stays with the outermost cell
  kept[start + 1]! += kept[start + 1 - step]! & -(1 << ERROR_SHIFT);
  return ahead;
}

/** Packs which cells are drawn. */
export function packCells(kept: Int32Array, cells: number, bits: Uint8Array): void {
  const whole = cells >> 3;
  for (let i = 0, c = 1; i < whole; i++, c += 8)
    bits[i] =
      ((kept[c]! & DRAWN) << 5) |
      ((kept[c + 1]! & DRAWN) << 4) |
      ((kept[c + 2]! & DRAWN) << 3) |
      ((kept[c + 3]! & DRAWN) << 2) |
      ((kept[c + 4]! & DRAWN) << 1) |
      (kept[c + 5]! & DRAWN) |
      ((kept[c + 6]! & DRAWN) >> 1) |
      ((kept[c + 7]! & DRAWN) >> 2);
  if ((cells & 7) === 0) return;
  let last = 0;
  for (let i = whole << 3; i < cells; i++) last |= ((kept[i + 1]! & DRAWN) << 5) >> (i & 7);
  bits[whole] = last;
}
