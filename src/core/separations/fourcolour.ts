import * as z from 'zod';
import type { Ink } from '../proof/overprint.ts';
import { defineSeparation, type TonesWay } from './contract.ts';
import { type Mixing, mixing, unfitMixing } from './ink-settings.ts';
import { latticeWay } from './inks/lattice-way.ts';
import type { InkModel } from './inks/model.ts';
import type { InkLimits } from './inks/solve.ts';
import { solveAlong, solveLattice } from './inks/table.ts';
import { lightnessOf } from './lab.ts';

/** ΔE00² that a solid is worth, of the black and of the other inks. */
const BLACK_COUNTS = 1;
const COLOURS_COUNT = 0.01;

interface Params extends Mixing {
  readonly greyReplacementPercent: number;
}

/** Number of the darkest ink, by lightness. */
const darkest = (inks: readonly Ink[]): number => {
  const lights = inks.map(({ light }) => lightnessOf(light));
  return lights.indexOf(Math.min(...lights));
};

/** How much black each colour gets: from the least that gives it to the most, so far as it is to replace the others. */
function blackWanted(model: InkModel, limits: InkLimits, black: number, share: number): Float64Array {
  const weights = Array.from({ length: model.inks }, (_, i) => (i === black ? BLACK_COUNTS : COLOURS_COUNT));
  const none = solveAlong(model, limits, { towards: null, weights });
  const towards = new Float64Array(none.cover.length);
  for (let at = black; at < towards.length; at += model.inks) towards[at] = 1;
  const all = { towards, weights };
  const most = solveLattice(model, limits, all);
  for (let at = black; at < towards.length; at += model.inks)
    towards[at] = none.cover[at]! + share * (most.cover[at]! - none.cover[at]!);
  return towards;
}

/** The lattice for three coloured inks and a black, the darkest of the four; the rest as with any inks. */
const fourColourWay = (params: Params): TonesWay =>
  latticeWay(params, (model, limits, inks) => {
    const black = darkest(inks);
    return solveLattice(model, limits, {
      towards: blackWanted(model, limits, black, params.greyReplacementPercent / 100),
      weights: inks.map((_, i) => (i === black ? BLACK_COUNTS : COLOURS_COUNT)),
    });
  });

/**
 * The four inks in printing order where none are given: a process red, blue and yellow as relief inks look on white
 * paper, and a warm black. All from memory: a drawdown of the inks in hand is worth more.
 */
const fourColourInks = [
  { name: 'yellow', colour: '#f7dc00', opaque: false },
  { name: 'red', colour: '#d3104f', opaque: false },
  { name: 'blue', colour: '#0083bd', opaque: false },
  { name: 'black', colour: '#1d1b1a', opaque: false },
] as const;

/** Plates for yellow, red, blue and black, in this order. */
export const fourcolour = defineSeparation({
  kind: 'fourcolour',
  summary: 'plates of tones for yellow, red, blue and black; the black takes over greys',
  params: z.strictObject({
    greyReplacementPercent: z
      .number()
      .min(0)
      .max(100)
      .default(50)
      .describe('how much of the grey that yellow, red and blue would make together is left to the black')
      .meta({ unit: 'percent' }),
    ...mixing,
  }),
  inks: { least: 4, most: 4, found: null, usual: fourColourInks },
  oneBlock: false,
  unfit: (params, { length }) => unfitMixing(params, length),
  way: fourColourWay,
});
