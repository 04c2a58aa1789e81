import * as z from 'zod';
import { EtchError } from '../errors.ts';
import { cellsOf, withoutCrumbs } from '../pieces/cells.ts';
import { type Jigsaw, jigsawOf } from '../pieces/jigsaw.ts';
import { jigsawPlan } from '../pieces/jigsaw-plan.ts';
import { paperPlan } from '../pieces/paper-plan.ts';
import { type AreasPlace, defineSeparation, type Labels, type SetFinding } from './contract.ts';

/** Borders are followed on no more cells: 0.1 mm each on 200 × 200 mm. */
const MOST_CELLS = 4_000_000;
/** Nobody puts more together; and it says that the picture is no picture of flat areas. */
const MOST_PIECES = 400;

const CUTS = ['one-sheet', 'own-sheets', 'thin-paper'] as const;

/** No beam cuts out what is thinner, and no hand holds it; from memory. */
const THINNEST_MM = 1;

/** Divides the labels, crumbs gone to their neighbours; `joined` says how many. */
function divided(
  labels: Labels,
  { pxPerMm, kerfMm }: AreasPlace,
  cut: (typeof CUTS)[number],
  smallestPieceMm: number,
): { jigsaw: Jigsaw; joined: number } {
  const cells = cellsOf(labels, MOST_CELLS);
  const cellsPerMm = (pxPerMm * cells.widthPx) / labels.widthPx;
  const across = smallestPieceMm * cellsPerMm;
  const crumb = {
    cells: (Math.PI / 4) * across * across,
    sidePx: Math.min(smallestPieceMm, THINNEST_MM) * cellsPerMm,
  };
  const { canvas, pieces: count, gone } = withoutCrumbs(cells, crumb);
  if (count > MOST_PIECES)
    throw new EtchError(
      'usage',
      'too-many-pieces',
      `Cutting pieces: the picture falls into ${count} of them, and ${MOST_PIECES} are the most`,
      'Divide it by a map of a few flat areas with --piece-map, look for fewer --colours, or give a larger --smallest-piece.',
    );
  const jigsaw = jigsawOf(canvas, {
    widthMm: labels.widthPx / pxPerMm,
    heightMm: labels.heightPx / pxPerMm,
    kerfMm,
    cut: cut === 'own-sheets' ? cut : 'one-sheet',
  });
  return { jigsaw, joined: gone };
}

/** Jigsaw plates, each piece inked by itself and all printed together; or shapes of thin paper laid under one plate. */
export const pieces = defineSeparation({
  kind: 'pieces',
  summary:
    'pieces that are cut out: jigsaw plates, inked one by one and printed in one go, or thin papers for chine-collé',
  params: z.strictObject({
    cutFrom: z
      .enum(CUTS)
      .default('one-sheet')
      .describe(
        'one-sheet: a jigsaw with a white line as wide as the cut; own-sheets: neighbours come from different sheets and meet; thin-paper: papers for chine-collé under one plate',
      ),
    faces: z
      .enum(['solid', 'picture'])
      .describe('what pieces of a plate carry: ink all over, or the picture')
      .meta({ unlessGiven: 'picture where --piece-map divides it or papers are cut, else solid' })
      .optional(),
    smallestPieceMm: z
      .number()
      .min(0)
      .max(100)
      .default(3)
      .describe(
        'smallest piece, as the width of a disc of its area; smaller ones go to the piece beside them',
      )
      .meta({ unit: 'mm' }),
    paperInsetMm: z
      .number()
      .min(0)
      .max(20)
      .default(0.4)
      .describe(
        'how far thin papers stay inside their areas; 0.3 to 0.5 inside the edge of a plate is common practice',
      )
      .meta({ unit: 'mm' }),
    wetGrowthPercent: z
      .array(z.coerce.number().min(0).max(10))
      .min(1)
      .max(2)
      .describe(
        'what thin paper grows by when it is damped, across and down the print, joined by a comma; one is for both',
      )
      .meta({ unit: 'percent', unlessGiven: '0' })
      .optional(),
    paperFace: z
      .enum(['up', 'down'])
      .default('up')
      .describe('which side of thin paper is up on the machine; the face is the side that is printed on'),
  }),
  inks: { least: 1, most: 8, found: 3 },
  oneBlock: false,
  way: ({ cutFrom, faces, smallestPieceMm, paperInsetMm, wetGrowthPercent = [0], paperFace }) => ({
    draws: 'areas',
    by: 'colours',
    smoothMm: 0,
    lines: () => [],
    cuts: cutFrom === 'thin-paper' ? 'paper' : 'plates',
    faces: (mapped) => faces ?? (mapped || cutFrom === 'thin-paper' ? 'picture' : 'solid'),
    shape({ labels }, place) {
      const { widthPx, heightPx } = labels;
      const raster = { widthPx, heightPx, pxPerMm: place.pxPerMm };
      const names = place.inks.map(({ name }) => name);
      const { jigsaw, joined } = divided(labels, place, cutFrom, smallestPieceMm);
      const [across, down = across] = wetGrowthPercent.map((percent) => percent / 100) as [number, number?];
      const plan =
        cutFrom === 'thin-paper'
          ? paperPlan(jigsaw, names, raster, {
              insetMm: paperInsetMm,
              wetGrowth: { x: across, y: down },
              kerfMm: place.kerfMm,
              face: paperFace,
            })
          : jigsawPlan(jigsaw, raster);
      const findings = names.flatMap((_, plate): SetFinding[] =>
        plan.cut.pieces.some(({ ink }) => ink === plate)
          ? []
          : [{ code: 'never-seen', plate, count: 0, areaPx: 0 }],
      );
      if (joined > 0) findings.push({ code: 'pieces-joined', plate: null, count: joined, areaPx: 0 });
      if (plan.lost.length > 0)
        findings.push({ code: 'paper-lost', plate: null, count: plan.lost.length, areaPx: 0 });
      if (plan.cut.ofPaper && across === 0 && down === 0)
        findings.push({ code: 'paper-dry', plate: null, count: 0, areaPx: 0 });
      return { plates: plan.plates, findings, cut: plan.cut };
    },
  }),
});
