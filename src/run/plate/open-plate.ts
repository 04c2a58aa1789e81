import { dirname, join } from 'node:path';
import type { FileSet } from '../../io/atomic.ts';
import { sweepStale } from '../../io/stale.ts';
import { clearingOf } from '../../job/clearing.ts';
import { openLooks } from '../looking/files.ts';
import type { RunContext } from './context.ts';
import { openPlateFiles } from './plate-file.ts';
import type { OpenPlate, PrepareRequest } from './request.ts';

/** Where a control strip lies on a plate, for `calibrate`. */
export const stripName = (name: string): string => `${name}.strip.json`;

/** Opens all files of a plate before any work, so that a name that cannot be written is told at once. */
export async function openPlate(
  request: Pick<PrepareRequest, 'output' | 'name' | 'formats' | 'looking' | 'job' | 'making'>,
  set: FileSet,
  { scratchFolder, owner }: RunContext,
): Promise<OpenPlate> {
  const { output, name } = request;
  if (output.to === 'nowhere')
    return { files: [], clearing: [], outline: [], looks: [], strip: null, report: null };
  const clearing = clearingOf(request.job, request.making);
  const folder = output.to === 'files' ? output.folder : scratchFolder;
  const reportFolder = output.reportPath === null ? folder : dirname(output.reportPath);
  for (const place of new Set([folder, reportFolder])) await sweepStale(place, owner);
  const files = await openPlateFiles(set, folder, name, request.formats);
  // few plates have these, and reading what makes them takes a while
  const clears = clearing
    ? await (await import('./clearing.ts')).openClearingFiles(set, folder, name, request.formats, clearing)
    : [];
  const isDrawn = request.job.outline !== undefined && output.to === 'files';
  const outline = isDrawn
    ? await (await import('../outline/page.ts')).openOutlineFiles(set, folder, name)
    : [];
  const looks = await openLooks(set, folder, name, request.looking);
  const hasStrip = request.job.controlStrip && output.to === 'files';
  const strip = hasStrip ? await set.add(join(folder, stripName(name))) : null;
  const report = output.reportPath === null ? null : await set.add(output.reportPath);
  return { files, clearing: clears, outline, looks, strip, report };
}
