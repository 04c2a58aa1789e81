import type { Light } from '../../proof/colour.ts';
import type { Ink } from '../../proof/overprint.ts';
import type { TonesWay } from '../contract.ts';
import { limitsOf, type Mixing } from '../ink-settings.ts';
import { openLattice } from './lattice.ts';
import { SIDE } from './lattice-places.ts';
import { type InkModel, openModel } from './model.ts';
import type { InkLimits } from './solve.ts';
import { type Nodes, refine, toneTable } from './table.ts';

/** Threads that are done with a part take the next, so that none waits long for the last. */
const PARTS = 8;
const layerOf = (part: number): number => Math.floor((part * SIDE) / PARTS);

/** The way of a method that mixes inks by a lattice: `solve` gives the coarse one, of which the fine one is made in parts. */
export function latticeWay(
  params: Mixing,
  solve: (model: InkModel, limits: InkLimits, inks: readonly Ink[]) => Nodes,
): TonesWay {
  const mixed = (inks: readonly Ink[], paper: Light) =>
    [openModel(paper, inks, params.whiteIs === 'paper'), limitsOf(params, inks.length)] as const;
  const begin = (inks: readonly Ink[], paper: Light): Nodes => solve(...mixed(inks, paper), inks);
  const layers = (inks: readonly Ink[], paper: Light, coarse: Nodes, from: number, to: number): Uint16Array =>
    toneTable(refine(...mixed(inks, paper), coarse, from, to));
  return {
    draws: 'tones',
    build: (inks, paper) => layers(inks, paper, begin(inks, paper), 0, SIDE),
    inParts: {
      parts: PARTS,
      begin,
      part: (inks, paper, begun, part) =>
        // what `begin` gave
        layers(inks, paper, begun as Nodes, layerOf(part), layerOf(part + 1)),
    },
    open: openLattice,
  };
}
