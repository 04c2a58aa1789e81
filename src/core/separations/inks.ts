import * as z from 'zod';
import type { Light } from '../proof/colour.ts';
import type { Ink } from '../proof/overprint.ts';
import { defineSeparation } from './contract.ts';
import { limitsOf, type Mixing, mixing, unfitMixing } from './ink-settings.ts';
import { openLattice } from './inks/lattice.ts';
import { openModel } from './inks/model.ts';
import { refine, smooth, solveLattice, toneTable } from './inks/table.ts';

/** ΔE00² that a solid is worth: of all mixtures that give a colour, the one of least ink. */
const LEAST_INK = 0.3;
/** With fewer, mixtures of the same colour are torn apart in the darks. */
const SMOOTHINGS = 4;

/**
 * The lattice by which rows are divided among two to five inks: the coverages whose mixture is nearest in ΔE00 to each
 * colour. A second or more of work; the rows that follow are quick.
 */
export function inkTable(params: Mixing, inks: readonly Ink[], paper: Light): Uint16Array {
  const model = openModel(paper, inks, params.whiteIs === 'paper');
  const limits = limitsOf(params, inks.length);
  const coarse = solveLattice(model, limits, {
    towards: null,
    weights: inks.map(() => LEAST_INK),
  });
  smooth(model, limits, coarse, SMOOTHINGS);
  return toneTable(refine(model, limits, coarse));
}

/** Plates for any inks: what mixture of them comes nearest to each colour. */
export const inks = defineSeparation({
  kind: 'inks',
  summary: 'a plate of tones for each of two to five inks, mixed so as to come nearest to every colour',
  params: z.strictObject(mixing),
  inks: { least: 2, most: 5, found: null },
  oneBlock: false,
  unfit: (params, { length }) => unfitMixing(params, length),
  way: (params) => ({
    draws: 'tones',
    build: (inks, paper) => inkTable(params, inks, paper),
    open: openLattice,
  }),
});
