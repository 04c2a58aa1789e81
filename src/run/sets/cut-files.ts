import { mmFor } from '../../core/geometry.ts';
import { backMap } from '../../core/pieces/back-map.ts';
import type { CutLines } from '../../core/pieces/cut-page.ts';
import { cutPage } from '../../core/pieces/cut-page.ts';
import type { FileSet } from '../../io/atomic.ts';
import { cutUse } from '../../job/outline.ts';
import type { Report } from '../../report/schema.ts';
import {
  type OutlineFile,
  openOutlineFiles,
  outlinePage,
  plainPage,
  writeOutlineFiles,
} from '../outline/page.ts';
import type { Division } from './division.ts';
import type { SeparateRequest } from './request.ts';

/** Files of lines of a set, open under temporary names. */
export interface CutFiles {
  /** For each sheet. */
  readonly sheets: readonly (readonly OutlineFile[])[];
  readonly backs: readonly OutlineFile[];
}

/** Opens what is cut out of each sheet, and the map of the backs; nothing where nothing is cut. */
export async function openCutFiles(
  { folder, name }: SeparateRequest,
  { cut }: Division,
  set: FileSet,
): Promise<CutFiles> {
  if (folder === null || !cut) return { sheets: [], backs: [] };
  const sheets: (readonly OutlineFile[])[] = [];
  for (const sheet of cut.sheets)
    sheets.push(await openOutlineFiles(set, folder, `${name}.${sheet.name}`, 'cut'));
  return { sheets, backs: await openOutlineFiles(set, folder, name, 'backs') };
}

/** Writes them; `mirrored` is how the plates lie. Gives what the report says of the files. */
export async function writeCutFiles(
  { base, name }: SeparateRequest,
  { cut, layout }: Division,
  mirrored: boolean,
  { sheets, backs }: CutFiles,
): Promise<Report['files']> {
  if (!cut || backs.length === 0) return [];
  const { job, making } = base;
  const { as, colour } = cutUse(job, making, cut.ofPaper ? 'paper' : 'plates');
  const mm = (px: number): number => mmFor(px, job.dpi);
  const { box, widthPx, heightPx } = layout;
  const picture = { widthMm: mm(box.widthPx), heightMm: mm(box.heightPx) };
  const onPlate = {
    xMm: mm(box.xPx),
    yMm: mm(box.yPx),
    widthMm: mm(widthPx),
    heightMm: mm(heightPx),
    mirrored,
  };
  const asCut = { xMm: 0, yMm: 0, ...picture, mirrored: false };
  const files: Report['files'] = [];
  for (const [index, sheet] of cut.sheets.entries()) {
    const { widthMm, heightMm, lines } = cutPage(sheet, sheet.asCut ? asCut : onPlate);
    const drawn: CutLines = { paths: lines[0]!.paths, strokes: lines[0]!.strokes ?? [] };
    const look = { wish: { as, colour }, pageMm: { width: widthMm, height: heightMm } };
    const page = outlinePage(`${name}.${sheet.name}`, drawn, look);
    files.push(...(await writeOutlineFiles(sheets[index]!, page)));
  }
  const of = cut.ofPaper ? 'papers as they lie on the plate, face down' : 'backs of the pieces, face down';
  const title = `${name}: ${of}, head of the print up`;
  const facesMirrored = mirrored && !cut.ofPaper;
  const page = backMap(cut.lines, cut.pieces, { ...picture, facesMirrored, title });
  files.push(...(await writeOutlineFiles(backs, plainPage(page, title))));
  return files;
}
