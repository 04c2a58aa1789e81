import * as z from 'zod';
import { MM_PER_INCH } from '../geometry.ts';
import { defineScreen, type ScreenPlace } from './contract.ts';
import { angleOf, brickOf, type Cell, cellNearest } from './dot/cell.ts';
import { inkRanks } from './dot/ranks.ts';
import { type Shape, shapeNames, spotFunctions } from './dot/spot-functions.ts';
import { type HeldPattern, heldPattern } from './held.ts';
import {
  angleDeg,
  fragmentsTrim,
  lpiOf,
  narrowestOf,
  periodPx,
  rulingFor,
  rulingLpi,
  tooFine,
} from './ruling.ts';
import { layTile, openTiled } from './tiled.ts';

interface Params {
  readonly rulingLpi?: number | undefined;
  readonly angleDeg: number;
  readonly shape: Shape;
}

/** With fewer there is no picture, but a pattern and its edges. */
const FEWEST_TONES = 5;

const cellOf = (params: Params, place: ScreenPlace): Cell =>
  cellNearest(periodPx(rulingFor(params.rulingLpi, place), place), params.angleDeg);

function patternOf(params: Params, place: ScreenPlace): HeldPattern {
  const cell = cellOf(params, place);
  return heldPattern(inkRanks(cell, spotFunctions[params.shape]), brickOf(cell), narrowestOf(place));
}

/** Dots in rows that grow with the tone, of which none is smaller, and no land between them narrower, than what holds. */
export const dot = defineScreen({
  kind: 'dot',
  summary: 'dots in straight rows that grow with the tone; every dot and land holds',
  params: z.strictObject({
    rulingLpi,
    angleDeg,
    shape: z.enum(shapeNames).default('Round').describe('how a dot grows: a spot function of ISO 32000-1'),
  }),
  leadInRows: 0,
  frame: (_, place) => ({ trim: fragmentsTrim(place) }),
  compensates: 'curve',
  packs: 'repeats',
  forLineArt: false,
  hasGrid: true,
  spacing: ({ rulingLpi: lpi }, place) => ({
    mm: MM_PER_INCH / rulingFor(lpi, place),
    of: 'a period of its dots',
    finer: 'a finer --ruling',
  }),
  widen: 'a coarser --ruling',
  tones: (params, place) => cellOf(params, place).pixels + 1,
  settle(params, place) {
    const lpi = rulingFor(params.rulingLpi, place);
    // fewer pixels than tones have nothing to order, and a cell of none has no place to put them
    const possible = cellOf(params, place).pixels + 1 >= FEWEST_TONES;
    if (!possible || patternOf(params, place).tones < FEWEST_TONES)
      throw tooFine(lpi, place, `leaves fewer than ${FEWEST_TONES} tones`);
    return { ...params, rulingLpi: lpi };
  },
  build: (params, place) => {
    const { paperTones, tones } = patternOf(params, place);
    return { tile: layTile(brickOf(cellOf(params, place)), paperTones), tones };
  },
  open: (_, { widthPx }, { tile }) => openTiled(tile, widthPx),
  achieved(params, place, { tones }) {
    const cell = cellOf(params, place);
    return {
      rulingLpi: lpiOf(Math.sqrt(cell.pixels), place),
      angleDeg: angleOf(cell),
      cellPx: cell.pixels,
      tones: cell.pixels + 1,
      tonesAfterHold: tones,
    };
  },
});
