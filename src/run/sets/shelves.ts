import { createBitmap } from '../../core/bitmap.ts';
import { type Inset, placeInset } from '../../core/plate.ts';
import type { FileSet } from '../../io/atomic.ts';
import type { Report } from '../../report/schema.ts';
import type { RunContext } from '../plate/context.ts';
import { finishDrawn } from '../plate/drawn-plate.ts';
import { type OpenFile, openPlateFiles } from '../plate/plate-file.ts';
import type { Prepared } from '../plate/request.ts';
import { shelfOf } from './aid.ts';
import type { Division } from './division.ts';
import type { PlateJob, SeparateRequest } from './request.ts';

/** Shelves that are engraved into a plate in a pass by itself, their files open under temporary names. */
export interface OpenShelf {
  readonly plate: number;
  readonly insets: readonly Inset[];
  readonly files: readonly OpenFile[];
}

/** Opens the files of the shelves that an aid wants, for each plate that has any. */
export async function openShelves(
  request: SeparateRequest,
  division: Division,
  jobs: readonly PlateJob[],
  set: FileSet,
): Promise<OpenShelf[]> {
  const { folder, name, formats } = request;
  const open: OpenShelf[] = [];
  if (folder === null) return open;
  for (const [plate, job] of jobs.entries()) {
    const insets = shelfOf(request, division, plate, job);
    if (insets.length === 0) continue;
    const stem = `${name}.${division.plates[plate]!.name}.shelf`;
    open.push({ plate, insets, files: await openPlateFiles(set, folder, stem, formats) });
  }
  return open;
}

/** Draws the shelves on the raster of their plates and writes them as plates, read back. */
export async function writeShelves(
  { stored }: SeparateRequest,
  jobs: readonly PlateJob[],
  made: readonly Prepared[],
  open: readonly OpenShelf[],
  context: RunContext,
): Promise<Report['files']> {
  const files: Report['files'] = [];
  for (const { plate, insets, files: slots } of open) {
    const { widthPx, heightPx, dpi, mirrored } = made[plate]!.report.plate;
    const bitmap = createBitmap(widthPx, heightPx, true);
    for (const inset of insets) placeInset(bitmap, inset);
    const finish = { etches: 'ink', border: 'kept', mirror: mirrored } as const;
    const pool = context.poolFor((widthPx * heightPx) / 1000);
    const shelf = await finishDrawn(
      { bitmap, finish, dpi, packing: 'runs', stored },
      slots,
      jobs[plate]!.making,
      pool,
      context,
    );
    try {
      files.push(...(await shelf.writeFiles('shelf')));
    } finally {
      shelf.drop();
    }
  }
  return files;
}
