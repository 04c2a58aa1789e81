import { join } from 'node:path';
import { textStrokes, textWidthMm } from '../../core/layout/strokefont.ts';
import type { OutlineUse } from '../../core/materials/contract.ts';
import type { LinePage, Lines, PointMm } from '../../core/outlines/contract.ts';
import { colourDigits } from '../../core/proof/colour.ts';
import type { FileSet, Slot } from '../../io/atomic.ts';
import type { OutlinePage } from '../../io/outlines/drawing.ts';
import { writeOutlinePdf } from '../../io/outlines/pdf.ts';
import { writeOutlineSvg } from '../../io/outlines/svg.ts';
import type { OutlineFacts } from '../../report/outline.ts';
import type { Report } from '../../report/schema.ts';
import { toldBeside } from '../plate/plate-file.ts';

/** What stands on a page that is not to be cut by. */
const MARKS: Readonly<Record<OutlineUse, readonly string[]>> = {
  cut: [],
  guide: ['guide for cutting by hand', 'not a line for the laser'],
  template: ['positioning template', 'not for cutting'],
};
const TITLES: Readonly<Record<OutlineUse, string>> = {
  cut: 'outline',
  guide: 'guide for cutting by hand, not a line for the laser',
  template: 'positioning template, not for cutting',
};
const BACKS_COLOUR = '000000';

/** A page of lines that are no outline of anything, in black. */
export const plainPage = (page: LinePage, title: string): OutlinePage => ({
  ...page,
  title,
  colour: BACKS_COLOUR,
});

const DASH_MM = [3, 1.5] as const;
const LETTERS_MM = 4;
/** Lettering takes no more of the width of a page than this, and leaves so much between its lines. */
const LETTERED_SHARE = 0.6;
const LEADING = 1.8;

/** Lettering in the middle of a page, print-reading. */
function lettering(lines: readonly string[], width: number, height: number): (readonly PointMm[])[] {
  const widest = Math.max(...lines.map((line) => textWidthMm(line, 1)));
  const heightMm = Math.min(
    LETTERS_MM,
    (LETTERED_SHARE * width) / widest,
    height / (2 * LEADING * lines.length),
  );
  return lines.flatMap((line, i) =>
    textStrokes(line, {
      heightMm,
      xMm: (width - textWidthMm(line, heightMm)) / 2,
      yMm: height / 2 + (i - (lines.length - 1) / 2) * LEADING * heightMm,
    }).map((stroke) => stroke.map(({ xMm, yMm }) => ({ x: xMm, y: yMm }))),
  );
}

/** What a page of outlines hangs on beside its lines. */
export interface OutlineLook {
  readonly wish: Pick<OutlineFacts['wish'], 'as' | 'colour'>;
  readonly pageMm: OutlineFacts['pageMm'];
}

/** The page of an outline: the lines, and a word where they are no lines to cut. */
export function outlinePage(
  name: string,
  lines: Pick<Lines, 'paths' | 'strokes'>,
  { wish, pageMm }: OutlineLook,
): OutlinePage {
  const { width, height } = pageMm;
  const marks = MARKS[wish.as];
  const dashed = marks.length > 0 ? { dashMm: DASH_MM } : {};
  return {
    widthMm: width,
    heightMm: height,
    colour: colourDigits(wish.colour, 'outline'),
    title: `${name}: ${TITLES[wish.as]}`,
    lines: [
      { ...lines, ...dashed },
      ...(marks.length > 0 ? [{ paths: [], strokes: lettering(marks, width, height) }] : []),
    ],
  };
}

const WRITERS = {
  svg: async (page: OutlinePage): Promise<Uint8Array[]> => [writeOutlineSvg(page)],
  pdf: writeOutlinePdf,
} as const;

/** What files of lines are for: the outline of a plate, pieces to be cut out of a sheet, a map of their backs. */
export type LinesRole = 'outline' | 'cut' | 'backs';

/** A file of an outline, open under its temporary name. */
export interface OutlineFile {
  readonly role: LinesRole;
  readonly format: keyof typeof WRITERS;
  readonly name: string;
  readonly slot: Slot;
}

/** Opens the files of an outline beside its plate. */
export async function openOutlineFiles(
  set: FileSet,
  folder: string,
  stem: string,
  role: LinesRole = 'outline',
): Promise<OutlineFile[]> {
  const files: OutlineFile[] = [];
  for (const format of Object.keys(WRITERS) as OutlineFile['format'][]) {
    const name = `${stem}.${role}.${format}`;
    files.push({ role, format, name, slot: await set.add(join(folder, name)) });
  }
  return files;
}

/** Writes an outline in every format, still under temporary names, and tells of the files for the report. */
export async function writeOutlineFiles(
  open: readonly OutlineFile[],
  page: OutlinePage,
): Promise<Report['files']> {
  const files: Report['files'] = [];
  for (const file of open) {
    await file.slot.write(await WRITERS[file.format](page));
    files.push(toldBeside(file));
  }
  return files;
}
