import * as z from 'zod';
import { type Bitmap, countBits } from '../bitmap.ts';
import { findPieces } from '../hold/components.ts';
import { loadRow } from '../hold/words.ts';
import { bitsOf, both, grown, labelRange, solid, without } from './bits.ts';
import { type Areas, defineSeparation, type SetFinding } from './contract.ts';
import { overlapMm } from './settings.ts';

/** What each stage should print: the stages asked for, else each colour with all that come after it. */
const askedStages = ({ labels, asked }: Areas, stages: number): readonly Bitmap[] =>
  asked ?? Array.from({ length: stages }, (_, stage) => bitsOf(labels, labelRange(stage + 1, stages)));

/** A stage prints no more than the one before has left; what is asked for beyond is clipped, and told. */
export function nestedStages(asked: readonly Bitmap[]): { stages: Bitmap[]; clippedPx: number[] } {
  const stages: Bitmap[] = [];
  const clippedPx = asked.map((wanted, stage) => {
    const before = stages[stage - 1];
    const kept = before ? both(wanted, before) : wanted;
    stages.push(kept);
    return countBits(wanted.data) - countBits(kept.data);
  });
  return { stages, clippedPx };
}

/** What is cut before each stage: what the stage before still printed and this one does not. Before the first, the whole block prints. */
export const deltasOf = (stages: readonly Bitmap[]): Bitmap[] =>
  stages.map((stage, k) => without(stages[k - 1] ?? solid(stage.widthPx, stage.heightPx), stage));

/** Pieces of a stage smaller than a disc of the smallest width: they break off while it is printed. */
function frailPieces(map: Bitmap, smallestPx: number): { count: number; areaPx: number } {
  const leastArea = (Math.PI / 4) * smallestPx * smallestPx;
  const words = new Int32Array((map.widthPx + 31) >> 5);
  let count = 0;
  let areaPx = 0;
  const pieces = findPieces(map.widthPx, 8, (piece) => {
    if (piece.areaPx >= leastArea) return;
    count++;
    areaPx += piece.areaPx;
  });
  for (let y = 0; y < map.heightPx; y++) {
    loadRow(map, y, 0, 0, words, 0);
    pieces.row(words, 0, y);
  }
  pieces.end();
  return { count, areaPx };
}

/** One block, cut further before each printing: each stage prints what is left. */
export const reduction = defineSeparation({
  kind: 'reduction',
  summary: 'one block for all colours, cut further before each printing, from light to dark',
  params: z.strictObject({ overlapMm }),
  inks: { least: 2, most: 8, found: 4 },
  oneBlock: true,
  way: ({ overlapMm: overlap }) => ({
    draws: 'areas',
    by: 'colours',
    smoothMm: 0,
    lines: (inks) => [inks.length - 1],
    shape(areas, { inks, pxPerMm, smallestPx }) {
      const { stages, clippedPx } = nestedStages(askedStages(areas, inks.length));
      const overlapPx = Math.round(overlap * pxPerMm);
      const findings: SetFinding[] = [];
      const plates = deltasOf(stages).map((delta, plate) => {
        const stage = stages[plate]!;
        if (clippedPx[plate]! > 0)
          findings.push({ code: 'stage-clipped', plate, count: 1, areaPx: clippedPx[plate]! });
        const frail = frailPieces(stage, smallestPx);
        if (frail.count > 0) findings.push({ code: 'stage-frail', plate, ...frail });
        // backwards into cleared ground, never into what is kept; the plate prints wherever it is not cut
        const cut = overlapPx > 0 ? without(grown(delta, overlapPx), stage) : delta;
        return without(solid(cut.widthPx, cut.heightPx), cut);
      });
      return { plates, findings };
    },
  }),
});
