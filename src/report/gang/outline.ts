import type { OutlineUse } from '../../core/materials/contract.ts';
import type { Measures } from '../../core/outlines/measure.ts';
import type { Making } from '../../job/making.ts';
import { caution } from '../cautions/index.ts';
import { lineCautions } from '../cautions/outline.ts';
import type { Caution } from '../schema.ts';
import { tidy } from '../tidy.ts';
import { num } from '../words.ts';
import type { GangReport, PlacedPlate } from './schema.ts';

/** The outlines of one sheet, in mm of the sheet. */
export interface OutlinedSheet {
  readonly as: OutlineUse;
  /** Of the machine; 0 where nothing is cut. */
  readonly kerfMm: number;
  readonly lines: readonly (Pick<Measures, 'box' | 'lengthMm'> & {
    readonly id: string;
    readonly file: string;
    readonly kind: string;
    /** That the line was drawn for. */
    readonly kerfMm: number;
  })[];
  /** Least distance between the boxes of two lines; negative where they overlap, without end for a single one. */
  readonly closestMm: number;
  /** The guide that is engraved in the waste, and how much of it; null where none is. */
  readonly guide: { readonly widthMm: number; readonly share: number } | null;
}

type Sheet = GangReport['sheets'][number];

export const outlineOfSheet = ({ as, kerfMm, lines, guide }: OutlinedSheet): Sheet['outline'] => ({
  as,
  kerfMm,
  lengthMm: tidy(lines.reduce((sum, { lengthMm }) => sum + lengthMm, 0)),
  guideMm: guide && tidy(guide.widthMm),
  plates: lines.map(({ id, kind }) => ({ id, kind })),
});

/** What arithmetic adds to a length. */
const HAIR_MM = 1e-6;

const filesOf = (lines: readonly { readonly file: string }[]): string =>
  [...new Set(lines.map(({ file }) => file))].join(', ');

function beyondSheet(sheets: readonly OutlinedSheet[], sheet: GangReport['sheet']): Caution[] {
  const reach = Math.max(
    ...sheets.flatMap(({ lines }) =>
      lines.flatMap(({ box }) => [
        -box.left,
        -box.top,
        box.right - sheet.widthMm,
        box.bottom - sheet.heightMm,
      ]),
    ),
  );
  if (reach <= HAIR_MM) return [];
  return [
    caution({
      code: 'outline-leaves-sheet',
      text: `Outlines reach ${num(reach, 3)} mm beyond the sheet, where nothing is drawn`,
      value: Number(reach.toFixed(4)),
      limit: 0,
      unit: 'mm',
      cure: 'Give a wider --sheet-margin; or let the edge of the sheet be the edge of the piece, and say so on the label.',
    }),
  ];
}

/** Guides that are not engraved all around. */
function guideShort(share: number | null): Caution[] {
  if (share === null || share > 0.99) return [];
  const missing = 100 * (1 - share);
  return [
    caution({
      code: 'outline-guide-short',
      text: `${num(missing, 0)} % of the guide lines lie on plates, lettering or beyond the sheet, and are not engraved`,
      value: Number(missing.toFixed(1)),
      unit: '%',
      cure: 'Make the plates on this sheet with an outline of their own, or give a wider --gutter and --sheet-margin.',
    }),
  ];
}

/** What the outlines of a gang give rise to. */
export function gangOutlineCautions(
  sheets: readonly OutlinedSheet[],
  placed: readonly PlacedPlate[],
  sheet: GangReport['sheet'],
  making: Making,
): Caution[] {
  const [first] = sheets;
  if (!first) return [];
  const lines = sheets.flatMap((one) => one.lines);
  const guideShare = first.guide && Math.min(...sheets.map(({ guide }) => guide?.share ?? 1));
  const cautions = [
    ...lineCautions({ wish: { as: first.as }, guideShare }, making),
    ...guideShort(guideShare),
  ];
  const drawn = new Set(lines.map(({ id }) => id));
  const bare = placed.filter(({ id }) => !drawn.has(id));
  if (bare.length > 0)
    cautions.push(
      caution({
        code: 'outline-left-out',
        text: `These plates bring no outline, and none is drawn around them: ${filesOf(bare)}`,
        cure: 'Give --outline to draw one around every plate, or make them again with one.',
      }),
    );
  const other = lines.filter(({ kerfMm }) => Math.abs(kerfMm - first.kerfMm) > HAIR_MM);
  if (other.length > 0)
    cautions.push(
      caution({
        code: 'outline-other-kerf',
        text: `The outlines of ${filesOf(other)} allow for a kerf of ${num(other[0]!.kerfMm, 3)} mm, and here it is ${num(first.kerfMm, 3)} mm`,
        value: other[0]!.kerfMm,
        limit: first.kerfMm,
        unit: 'mm',
        cure: 'Pieces will be off by the difference: make the plates again with the machine’s --kerf and the same sheet.',
      }),
    );
  const close = Math.min(...sheets.map(({ closestMm }) => closestMm));
  if (close < sheet.sawAllowanceMm - HAIR_MM)
    cautions.push(
      caution({
        code: 'outlines-meet',
        text: `Outlines of neighbours ${close < 0 ? 'may cross' : `come within ${num(close, 2)} mm of each other`}: pieces reach beyond their plates`,
        value: Number(close.toFixed(3)),
        limit: sheet.sawAllowanceMm,
        unit: 'mm',
        cure: 'Give a wider --gutter.',
      }),
    );
  return [...cautions, ...beyondSheet(sheets, sheet)];
}
