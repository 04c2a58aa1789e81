import * as z from 'zod';
import { defineSeparation, type TonesWay } from './contract.ts';
import { type Mixing, mixing, unfitMixing } from './ink-settings.ts';
import { latticeWay } from './inks/lattice-way.ts';
import { smooth, solveLattice } from './inks/table.ts';

/** ΔE00² that a solid is worth: of all mixtures that give a colour, the one of least ink. */
const LEAST_INK = 0.3;
/** With fewer, mixtures of the same colour are torn apart in the darks. */
const SMOOTHINGS = 4;

/**
 * Rows are divided among two to five inks by a lattice: the coverages whose mixture is nearest in ΔE00 to each colour. A
 * second or more of work; the rows that follow are quick.
 */
export const inksWay = (params: Mixing): TonesWay =>
  latticeWay(params, (model, limits, inks) => {
    const coarse = solveLattice(model, limits, { towards: null, weights: inks.map(() => LEAST_INK) });
    return smooth(model, limits, coarse, SMOOTHINGS);
  });

/** Plates for any inks: what mixture of them comes nearest to each colour. */
export const inks = defineSeparation({
  kind: 'inks',
  summary: 'a plate of tones for each of two to five inks, mixed so as to come nearest to every colour',
  params: z.strictObject(mixing),
  inks: { least: 2, most: 5, found: null },
  oneBlock: false,
  unfit: (params, { length }) => unfitMixing(params, length),
  way: inksWay,
});
