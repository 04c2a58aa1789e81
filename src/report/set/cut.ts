import type { PlateLayout } from '../../core/geometry.ts';
import type { OutlineUse } from '../../core/materials/contract.ts';
import { measurePaths } from '../../core/outlines/measure.ts';
import { CUT_MARGIN_MM } from '../../core/pieces/cut-page.ts';
import type { CutPlan } from '../../core/separations/contract.ts';
import { tidy } from '../tidy.ts';
import { num } from '../words.ts';
import type { SetReport } from './schema.ts';

export type CutFacts = NonNullable<SetReport['cut']>;

/** How the lines of a set are to be used. */
export interface CutUse {
  readonly as: OutlineUse;
  readonly kerfMm: number;
}

const strokeMm = (points: readonly { readonly x: number; readonly y: number }[]): number =>
  points.slice(1).reduce((sum, { x, y }, i) => sum + Math.hypot(x - points[i]!.x, y - points[i]!.y), 0);

/** What is cut of a set, with places on the print from the upper left corner of the canvas. */
export function cutFacts(
  cut: CutPlan & { readonly map: CutFacts['map'] },
  { as, kerfMm }: CutUse,
  inks: readonly string[],
  { box }: PlateLayout,
  pitchMm: number,
): CutFacts {
  const { sheets, pieces, gapMm, ofPaper, map } = cut;
  return {
    of: ofPaper ? 'paper' : 'plates',
    as,
    kerfMm,
    gapMm: tidy(gapMm),
    map: map && { ...map },
    marginMm: CUT_MARGIN_MM,
    sheets: sheets.map(({ name, paths, strokes }, index) => ({
      name,
      pieces: pieces.filter(({ sheet }) => sheet === index).length,
      lengthMm: tidy(
        (paths.length > 0 ? measurePaths(paths).lengthMm : 0) +
          strokes.reduce((sum, stroke) => sum + strokeMm(stroke), 0),
      ),
    })),
    pieces: pieces.map(({ id, ink, sheet, areaMm2, innerMm, sideMm, widthMm, heightMm }) => ({
      id,
      ink: ink === null ? null : inks[ink]!,
      sheet: sheets[sheet]!.name,
      at: { xMm: tidy(box.xPx * pitchMm + innerMm.x), yMm: tidy(box.yPx * pitchMm + innerMm.y) },
      sideMm: tidy(sideMm),
      widthMm: tidy(widthMm),
      heightMm: tidy(heightMm),
      areaMm2: tidy(areaMm2),
    })),
  };
}

const DONE: Readonly<Record<OutlineUse, string>> = {
  cut: 'to be cut',
  guide: 'a guide to cut by hand',
  template: 'a template, not to be cut',
};

/** "7 pieces on 2 sheets, 1240 mm to be cut, kerf 0.2 mm allowed for". */
export function cutWords({ of, as, kerfMm, gapMm, sheets, pieces }: CutFacts): string {
  const lengthMm = sheets.reduce((sum, sheet) => sum + sheet.lengthMm, 0);
  const what = `${pieces.length} ${pieces.length === 1 ? 'piece' : 'pieces'} on ${sheets.length} ${of === 'paper' ? (sheets.length === 1 ? 'paper' : 'papers') : sheets.length === 1 ? 'sheet' : 'sheets'}`;
  const allowed = gapMm > 0 ? `${num(gapMm, 2)} mm apart` : `kerf of ${num(kerfMm, 2)} mm allowed for`;
  return `${what}, ${num(lengthMm, 0)} mm of line, ${DONE[as]}${as === 'cut' ? `, ${allowed}` : ''}`;
}
