import * as z from 'zod';
import { delayFor, openCells } from './cell/open.ts';
import { cellSize, LEAST_CELL_MM, MOST_CELL_MM, settleCellMm } from './cell/size.ts';
import { vertexLosses } from './cell/vertex.ts';
import { defineScreen, type ScreenPlace } from './contract.ts';
import { grainTexture, type Texture } from './grain/texture.ts';
import { type LineArt, openLineArt } from './line-art/index.ts';
import { seed } from './seed.ts';

/** Rows of cells run before the first wanted one; the texture fixes where dots fall, so bands meet after a few. */
const LEAD_IN_CELLS = 32;

/** What is worked out once for a plate: the texture, and what the spot leaves of cells that meet. */
export interface CellTables {
  readonly texture: Texture;
  readonly losses: Int32Array;
}

const params = z.strictObject({
  cellMm: z
    .number()
    .min(LEAST_CELL_MM)
    .max(MOST_CELL_MM)
    .optional()
    .describe('smallest land and smallest mark; no land narrower is left standing')
    .meta({ unit: 'mm', unlessGiven: 'spot or smallest land, with a margin' }),
  texture: z
    .number()
    .min(0)
    .max(1)
    .default(0.5)
    .describe('grain of flat tones: 0 finest detail, 1 like an aquatint'),
  lines: z
    .enum(['auto', 'off'])
    .default('auto')
    .describe('auto draws lines and lettering sharp, off screens everything'),
  seed,
});

/** Narrower than so many spots, counters and joins of lettering run together. */
const STROKE_SPOTS = 2;

/** Widest cell beside which lines are drawn on their own; wider ones are a texture that lettering would not fit. */
const WIDEST_WITH_LINES_PX = 32;

type Params = z.output<typeof params>;

/** Cells of a plate, once `settle` has filled the length in. */
const sizeOn = ({ cellMm }: Params, place: ScreenPlace) => cellSize(settleCellMm(cellMm, place), place);

/** The split of lines from tone; null where all is screened. */
function linesOf(given: Params, place: ScreenPlace, widthPx: number): LineArt | null {
  const { cellPx } = sizeOn(given, place);
  if (given.lines === 'off' || Math.max(cellPx.x, cellPx.y) > WIDEST_WITH_LINES_PX) return null;
  return openLineArt({
    widthPx,
    cellXPx: cellPx.x,
    cellYPx: cellPx.y,
    holdXPx: cellPx.x,
    holdYPx: cellPx.y,
    etchedSide: place.etchedSide,
    darkestTone: place.darkestTone,
    lightestTone: place.lightestTone,
    strokePx: Math.ceil(STROKE_SPOTS * place.spotPx),
  });
}

/** Each cell is etched or kept whole; the error, and what the spot does not fill of a cell, go on to its neighbours. */
export const cell = defineScreen<typeof params.shape, CellTables>({
  kind: 'cell',
  summary: 'error diffusion on cells that hold: fine detail, and no land narrower than a cell',
  params,
  leadInRows: 0,
  frame: (given, place) => {
    const { cellPx, erodePx } = sizeOn(given, place);
    // how far the lines look down does not hang on the width
    const lines = linesOf(given, place, 1);
    const delayRows = delayFor(cellPx.y, lines?.delayRows ?? 0);
    const leadInRows = 2 * delayFor(cellPx.y, 0) + (lines?.leadInRows ?? 0);
    const leadInCells = Math.max(LEAD_IN_CELLS, Math.ceil(leadInRows / cellPx.y));
    // cells hold by themselves; where lines meet them, what is left between may not
    const holdPx = lines ? cellPx : { x: 1, y: 1 };
    const trims = Math.max(holdPx.x, holdPx.y, erodePx.x, erodePx.y) > 1;
    return {
      leadInRows: leadInCells * cellPx.y,
      delayRows,
      stepRows: cellPx.y,
      shiftPx: { x: (1 - erodePx.x) / 2, y: (1 - erodePx.y) / 2 },
      trim: trims ? { marksPx: holdPx, landsPx: holdPx, erodePx } : null,
    };
  },
  settle: (given, place) => ({ ...given, cellMm: settleCellMm(given.cellMm, place) }),
  build: (given, place) => ({
    texture: grainTexture(given.seed, place.plate),
    losses: place.allowsForSpot ? vertexLosses(place, sizeOn(given, place)) : new Int32Array(16),
  }),
  open: (given, context, { texture, losses }) =>
    openCells({
      widthPx: context.widthPx,
      heightPx: context.heightPx ?? Number.POSITIVE_INFINITY,
      cellPx: sizeOn(given, context).cellPx,
      turned: context.etchedSide === 'paper',
      firstRow: context.firstRow,
      losses,
      texture,
      strength: given.texture,
      seed: given.seed,
      plate: context.plate,
      lines: linesOf(given, context, context.widthPx),
    }),
  achieved: (given, place) => {
    const { cellPx, erodePx } = sizeOn(given, place);
    const cellsMm = { cellXMm: cellPx.x / place.pxPerMm, cellYMm: cellPx.y / place.pxPerMm };
    return place.allowsForSpot ? { ...cellsMm, erodedXPx: erodePx.x, erodedYPx: erodePx.y } : cellsMm;
  },
  finds: ['stroke-too-fine', 'gap-too-fine'],
  compensates: 'itself',
  // at 3 px and more half the size and less of what runs alone make of it, at 2 px the same
  packs: 'repeats',
  forLineArt: false,
  spacing(given, place) {
    const { x, y } = sizeOn(given, place).cellPx;
    return { mm: Math.max(x, y) / place.pxPerMm, of: 'a cell', finer: 'a narrower --cell' };
  },
  widen: 'a wider --cell',
  tones: () => null,
});
