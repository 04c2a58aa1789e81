import { createHash } from 'node:crypto';
import { readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import { mmFor } from '../../core/geometry.ts';
import { moreCautious, type OutlineUse } from '../../core/materials/contract.ts';
import type { OutlinePath } from '../../core/outlines/contract.ts';
import { measurePaths } from '../../core/outlines/measure.ts';
import { movedPaths, outlinePaths, turnedPaths } from '../../core/outlines/paths.ts';
import type { ProcessKind } from '../../core/processes/index.ts';
import { colourDigits } from '../../core/proof/colour.ts';
import type { OutlinePage } from '../../io/outlines/drawing.ts';
import { readOutlineSvg } from '../../io/outlines/read-svg.ts';
import type { Making } from '../../job/making.ts';
import { type OutlineAsked, type OutlineWish, outlineWish } from '../../job/outline.ts';
import { OUTLINE_COLOUR } from '../../job/schema.ts';
import type { OutlinedSheet } from '../../report/gang/outline.ts';
import { outlinePage } from '../outline/page.ts';
import type { SheetMm } from './common.ts';
import { gangGuideMm, guideFor } from './guide.ts';
import type { LaidItem, LaidSheet } from './layout.ts';
import type { GangPlate } from './plate.ts';
import type { SheetGuide } from './sheet-guide.ts';

/** What a plate brings: its line from the plate's own upper left corner, as the plate lies in its file. */
interface OwnOutline {
  readonly kind: string;
  readonly as: OutlineUse;
  readonly kerfMm: number;
  readonly paths: readonly OutlinePath[];
}

/** The outlines of all sheets, and what was found on them. */
export interface GangOutlines {
  readonly as: OutlineUse;
  readonly sheets: readonly OutlinedSheet[];
  /** What is engraved of the guides of each sheet; null for nothing. */
  readonly guides: readonly (SheetGuide | null)[];
  page(index: number, name: string): OutlinePage;
}

/** The outline that a plate's report tells of; one that tells of other bits speaks for no outline either. */
const ownReport = ({ beside }: GangPlate) => (beside?.agrees ? beside.report.outline : null);

/** Whether there is any outline to be drawn. */
export const wantsOutlines = ({ outline }: OutlineAsked, plates: readonly GangPlate[]): boolean =>
  outline !== undefined || plates.some((plate) => ownReport(plate) !== null);

/** Where the outline of a plate lies; null where its report lists no such file. */
const outlineFile = ({ path, beside }: GangPlate) => {
  const file = beside?.report.files.find(({ role, format }) => role === 'outline' && format === 'svg');
  return file ? { ...file, path: join(dirname(path), file.name) } : null;
};

/** Files of outlines that are read, and must never be written over. */
export const outlineInputs = (plates: readonly GangPlate[]): string[] =>
  plates.flatMap((plate) => outlineFile(plate)?.path ?? []);

function readOwn(plate: GangPlate): OwnOutline | null {
  const told = ownReport(plate);
  if (told === null) return null;
  const file = outlineFile(plate);
  const unread = (what: string, cause?: unknown): EtchError =>
    new EtchError(
      'input',
      'outline-unreadable',
      `The outline of ${plate.file}${file ? ` (${file.name})` : ''} ${what}`,
      'Make the plate and its outline again, or give --outline to draw another around every plate.',
      cause,
    );
  if (file === null) throw unread('was not kept with it');
  let bytes: Buffer;
  try {
    if (!statSync(file.path).isFile()) throw new Error('it is no plain file');
    bytes = readFileSync(file.path);
  } catch (error) {
    throw unread('cannot be read', error);
  }
  if (createHash('sha256').update(bytes).digest('hex') !== file.sha256)
    throw unread('is not as it was written');
  const { kind, as, kerfMm, originMm } = told;
  const paths = movedPaths(readOutlineSvg(bytes.toString('utf8')), -originMm.x, -originMm.y);
  return { kind, as, kerfMm, paths };
}

/** The outlines that plates bring, each read once; throws JobError with every one that cannot be used. */
function ownOutlines(plates: readonly GangPlate[]): ReadonlyMap<GangPlate, OwnOutline> {
  const found = new Map<GangPlate, OwnOutline>();
  const problems: Problem[] = [];
  for (const plate of new Set(plates))
    try {
      const own = readOwn(plate);
      if (own) found.set(plate, own);
    } catch (error) {
      if (!(error instanceof EtchError)) throw error;
      problems.push({ code: error.code, message: error.message, hint: error.hint });
    }
  if (problems.length > 0) throw new JobError(problems, 'input');
  return found;
}

/** The same line around every plate: rectangles, round corners and ellipses read the same way mirrored or not. */
function drawnAround(
  { kind, params, kerfMm, toleranceMm }: OutlineWish,
  { box }: LaidItem,
  dpi: number,
): readonly OutlinePath[] {
  const size = { widthMm: mmFor(box.widthPx, dpi), heightMm: mmFor(box.heightPx, dpi) };
  try {
    return outlinePaths(kind, params, { xMm: 0, yMm: 0, ...size }, { kerfMm, toleranceMm, traced: null })
      .paths;
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new EtchError(
      'usage',
      'outline-does-not-fit',
      `Drawing the outlines: ${error.message}`,
      'Give a smaller --outline-inset or --outline-radius.',
    );
  }
}

/** A plate's own line as the plate lies. */
function ownAround(own: OwnOutline, { item, place }: LaidItem, dpi: number): readonly OutlinePath[] {
  return place.turned ? turnedPaths(own.paths, mmFor(item.plate.heightPx, dpi)) : own.paths;
}

/** Least distance between the boxes of two lines on a sheet, in mm; negative where they overlap. */
function closest(lines: readonly OutlinedSheet['lines'][number][]): number {
  let least = Number.POSITIVE_INFINITY;
  for (const [i, { box: a }] of lines.entries())
    for (const { box: b } of lines.slice(i + 1))
      least = Math.min(
        least,
        Math.max(
          Math.max(a.left, b.left) - Math.min(a.right, b.right),
          Math.max(a.top, b.top) - Math.min(a.bottom, b.bottom),
        ),
      );
  return least;
}

/**
 * Lays an outline around every plate of every sheet: the one that is asked for, else the plates' own. Pages are as large
 * as the sheet, so that their upper left corner is that of the raster. Guides are to be engraved in the waste besides.
 */
export function layOutlines(
  asked: OutlineAsked,
  sheets: readonly LaidSheet[],
  sheet: SheetMm,
  dpi: number,
  process: ProcessKind,
  making: Making,
): GangOutlines {
  const wish = outlineWish(asked, making);
  const colour = asked.outlineColour ?? OUTLINE_COLOUR;
  colourDigits(colour, 'outline');
  const plates = sheets.flatMap(({ laid }) => laid.map(({ item }) => item.plate));
  const own: ReadonlyMap<GangPlate, OwnOutline> = wish ? new Map() : ownOutlines(plates);
  const least = moreCautious(making.sheet.judgement?.outlineAs ?? 'cut', asked.outlineAs ?? 'cut');
  const as = wish?.as ?? [...own.values()].reduce((use, { as: told }) => moreCautious(use, told), least);
  const kerfMm = as === 'cut' ? making.machine.kerfMm : 0;
  const drawn = sheets.map(({ laid }) =>
    laid.flatMap((one) => {
      const brought = own.get(one.item.plate);
      if (!wish && !brought) return [];
      const paths = wish ? drawnAround(wish, one, dpi) : ownAround(brought!, one, dpi);
      const at = movedPaths(paths, mmFor(one.box.xPx, dpi), mmFor(one.box.yPx, dpi));
      const { kind, kerfMm: forKerfMm } = wish ?? brought!;
      const isEngraved = !wish && brought?.as === 'guide';
      return [{ one, paths: at, kind, kerfMm: forKerfMm, isEngraved }];
    }),
  );
  const widthMm = gangGuideMm(process, making, dpi);
  const guides = sheets.map((laid, index) =>
    as === 'guide' ? guideFor(laid, drawn[index]!, sheet, dpi, widthMm) : null,
  );
  const pageMm = { width: sheet.widthMm, height: sheet.heightMm };
  return {
    as,
    guides,
    sheets: drawn.map((lines, index): OutlinedSheet => {
      const measured = lines.map(({ one, paths, kind, kerfMm: own }) => {
        const { box, lengthMm } = measurePaths(paths);
        return { id: one.item.id, file: one.item.plate.file, kind, kerfMm: own, box, lengthMm };
      });
      const guide = guides[index] ? { widthMm, share: guides[index].share } : null;
      return { as, kerfMm, lines: measured, closestMm: closest(measured), guide };
    }),
    page: (index, name) =>
      outlinePage(
        name,
        { paths: drawn[index]!.flatMap(({ paths }) => paths) },
        { wish: { as, colour }, pageMm },
      ),
  };
}
