import * as z from 'zod';
import { MM_PER_INCH } from '../geometry.ts';
import { defineScreen, type ScreenPlace } from './contract.ts';
import { angleOf, brickOf, type Cell, cellNearest } from './dot/cell.ts';
import { mixedRepeat, mixedSteps } from './dot/mix.ts';
import { inkRanks } from './dot/ranks.ts';
import { type Shape, shapeNames, spotFunctions } from './dot/spot-functions.ts';
import { type HeldSteps, heldSteps, paperTonesOf, widestStep } from './held.ts';
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

/** A square of so many pixels or more shows flat tones well enough without being a whole repeat. */
const LONGEST_REPEAT_PX = 512;

const cellOf = (params: Params, place: ScreenPlace): Cell =>
  cellNearest(periodPx(rulingFor(params.rulingLpi, place), place), params.angleDeg);

function stepsOf(params: Params, place: ScreenPlace): HeldSteps {
  const cell = cellOf(params, place);
  return heldSteps(
    inkRanks(cell, spotFunctions[params.shape]),
    cell.pixels,
    brickOf(cell),
    narrowestOf(place),
  );
}

/**
 * Dots in rows that grow with the tone, of which none is smaller, and no land between them narrower, than what holds. Between two
 * sizes that hold, some dots have the one and some the other.
 */
export const dot = defineScreen({
  kind: 'dot',
  summary: 'dots in straight rows that grow with the tone; every dot and land holds',
  params: z.strictObject({
    rulingLpi,
    angleDeg,
    shape: z.enum(shapeNames).default('Round').describe('how a dot grows: a spot function of ISO 32000-1'),
  }),
  leadInRows: 0,
  frame(params, place) {
    const { widthPx } = mixedRepeat(cellOf(params, place));
    return {
      trim: fragmentsTrim(place),
      repeatPx: widthPx <= LONGEST_REPEAT_PX ? { x: widthPx, y: widthPx } : null,
    };
  },
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
  tones: () => null,
  settle(params, place) {
    const lpi = rulingFor(params.rulingLpi, place);
    // fewer pixels than tones have nothing to order, and a cell of none has no place to put them
    const possible = cellOf(params, place).pixels + 1 >= FEWEST_TONES;
    if (!possible || stepsOf(params, place).inkPx.length < FEWEST_TONES)
      throw tooFine(lpi, place, `leaves fewer than ${FEWEST_TONES} tones`);
    return { ...params, rulingLpi: lpi };
  },
  build: (params, place) => {
    const cell = cellOf(params, place);
    const held = stepsOf(params, place);
    const mixed = mixedSteps(cell, held, narrowestOf(place));
    return {
      tile: layTile(mixedRepeat(cell), paperTonesOf(mixed)),
      tonesAfterHold: held.inkPx.length,
      widestStep: widestStep(mixed),
    };
  },
  open: (_, { widthPx }, { tile }) => openTiled(tile, widthPx),
  achieved(params, place, { tonesAfterHold, widestStep }) {
    const cell = cellOf(params, place);
    return {
      rulingLpi: lpiOf(Math.sqrt(cell.pixels), place),
      angleDeg: angleOf(cell),
      cellPx: cell.pixels,
      tones: cell.pixels + 1,
      tonesAfterHold,
      widestStepPercent: Number((100 * widestStep).toFixed(2)),
    };
  },
});
