import type { ToneSplit } from '../contract.ts';
import { latticePlaces, SIDE, TOP_CODE } from './lattice-places.ts';
import { openVectorLattice } from './lattice-vector.ts';

/** Pixels that are mixed in one go. */
const PACKED_PX = 1024;

/**
 * Coverages between the nodes, for rows of pixels: `table` holds those of each node, 0 … 65535, ink by ink. Cells are cut
 * into six tetrahedra along the line of greys (J. M. Kasson, W. Plouffe, S. I. Nin, Proc. SPIE 1909 (1993) 127–138), so that
 * greys come from greys alone. Weights are whole 255ths and results rounded down: no sum of inks is above that of all nodes.
 */
export const openLattice = (table: Uint16Array, inks: number): ToneSplit =>
  openVectorLattice(table, inks, latticePlaces()) ?? openPlainLattice(table, inks);

/** The same in plain loops, for engines without vectors. */
export function openPlainLattice(table: Uint16Array, inks: number): ToneSplit {
  const { cell, part } = latticePlaces();
  const packed = new Uint16Array(inks * PACKED_PX);
  return (rgb, tones) => {
    const width = tones[0]!.length;
    for (let from = 0; from < width; from += PACKED_PX) {
      const count = Math.min(PACKED_PX, width - from);
      mixPixels(table, inks, cell, part, rgb, 3 * from, count, packed);
      for (let ink = 0; ink < inks; ink++) unpack(packed, ink, inks, count, tones[ink]!, from);
    }
  };
}

/** The tones of one ink out of those of all, pixel by pixel. */
function unpack(
  packed: Uint16Array,
  ink: number,
  inks: number,
  count: number,
  into: Uint16Array,
  at: number,
): void {
  for (let x = 0, from = ink; x < count; x++, from += inks) into[at + x] = packed[from]!;
}

/** Tones of some pixels into `packed`, ink by ink for each. */
function mixPixels(
  table: Uint16Array,
  inks: number,
  cell: Int32Array,
  part: Int32Array,
  rgb: Uint8Array,
  from: number,
  count: number,
  packed: Uint16Array,
): void {
  const toRed = SIDE * SIDE * inks;
  const toGreen = SIDE * inks;
  const toBlue = inks;
  let before = -1;
  for (let x = 0, at = from, to = 0; x < count; x++, at += 3) {
    const red = rgb[at]!;
    const green = rgb[at + 1]!;
    const blue = rgb[at + 2]!;
    const code = (red << 16) | (green << 8) | blue;
    if (code === before) {
      for (const end = to + inks; to < end; to++) packed[to] = packed[to - inks]!;
      continue;
    }
    before = code;
    const r = part[red]!;
    const g = part[green]!;
    const b = part[blue]!;
    const n0 = (cell[red]! * toRed + cell[green]! * toGreen + cell[blue]! * toBlue) | 0;
    const n3 = (n0 + toRed + toGreen + toBlue) | 0;
    // from the dark corner along the widest part first, along the narrowest last
    let n1 = n0;
    let n2 = n3;
    let wide = r;
    let middle = g;
    let narrow = b;
    if (r >= g) {
      if (g >= b) {
        n1 += toRed;
        n2 -= toBlue;
      } else if (r >= b) {
        n1 += toRed;
        n2 -= toGreen;
        middle = b;
        narrow = g;
      } else {
        n1 += toBlue;
        n2 -= toGreen;
        wide = b;
        middle = r;
        narrow = g;
      }
    } else if (r >= b) {
      n1 += toGreen;
      n2 -= toBlue;
      wide = g;
      middle = r;
    } else if (g >= b) {
      n1 += toGreen;
      n2 -= toRed;
      wide = g;
      middle = b;
      narrow = r;
    } else {
      n1 += toBlue;
      n2 -= toRed;
      wide = b;
      narrow = r;
    }
    const w0 = TOP_CODE - wide;
    const w1 = wide - middle;
    const w2 = middle - narrow;
    for (let ink = 0; ink < inks; ink++) {
      const sum =
        Math.imul(w0, table[n0 + ink]!) +
        Math.imul(w1, table[n1 + ink]!) +
        Math.imul(w2, table[n2 + ink]!) +
        Math.imul(narrow, table[n3 + ink]!);
      packed[to++] = (sum / TOP_CODE) | 0;
    }
  }
}
