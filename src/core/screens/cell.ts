import * as z from 'zod';
import { openCells, delayFor } from './cell/open.ts';
import { cellSize, LEAST_CELL_MM, MOST_CELL_MM, settleCellMm } from './cell/size.ts';
import { type CellTexture, grainTexture } from './cell/texture.ts';
import { vertexLosses } from './cell/vertex.ts';
import { defineScreen, type ScreenPlace, type Trim } from './contract.ts';

/** Rows of cells run before the first wanted one; the texture fixes where dots fall, so bands meet after a few. */
const LEAD_IN_CELLS = 32;

interface CellTables {
  readonly texture: CellTexture;
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
  seed: z
    .int()
    .min(0)
    .max(0xffffffff)
    .default(1)
    .describe('number that fixes every random choice; the same seed gives the same plate'),
});

/** Cells of a plate, once `settle` has filled the length in. */
const sizeOn = ({ cellMm }: z.output<typeof params>, place: ScreenPlace) =>
  cellSize(settleCellMm(cellMm, place), place);

/** Each cell is etched or kept whole; the error, and what the spot does not fill of a cell, go on to its neighbours. */
export const cell = defineScreen<typeof params.shape, CellTables>({
  kind: 'cell',
  summary: 'error diffusion on cells that hold: fine detail, and no land narrower than a cell',
  params,
  leadInRows: 0,
  frame: (given, place) => {
    const { cellPx, erodePx } = sizeOn(given, place);
    const trim: Trim = { holdPx: { x: 1, y: 1 }, erodePx };
    return {
      leadInRows: LEAD_IN_CELLS * cellPx.y,
      delayRows: delayFor(cellPx.y, 0),
      stepRows: cellPx.y,
      shiftPx: { x: (1 - erodePx.x) / 2, y: (1 - erodePx.y) / 2 },
      trim: erodePx.x > 1 || erodePx.y > 1 ? trim : null,
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
      cellPx: sizeOn(given, context).cellPx,
      turned: context.etchedSide === 'paper',
      firstRow: context.firstRow,
      losses,
      texture,
      strength: given.texture,
      seed: given.seed,
      plate: context.plate,
      lines: null,
    }),
  achieved: (given, place) => {
    const { cellPx, erodePx } = sizeOn(given, place);
    const cellsMm = { cellXMm: cellPx.x / place.pxPerMm, cellYMm: cellPx.y / place.pxPerMm };
    return place.allowsForSpot ? { ...cellsMm, erodedXPx: erodePx.x, erodedYPx: erodePx.y } : cellsMm;
  },
  compensates: 'itself',
  packs: 'runs',
  forLineArt: false,
  tones: () => null,
});
