import { closeSync, openSync } from 'node:fs';
import { join } from 'node:path';
import { isThere } from '../../io/is-there.ts';
import { readJsonObject } from '../../io/json-file.ts';
import { hashPicture } from '../../io/read/input.ts';
import { refuses } from '../../report/cautions/index.ts';
import { type Report, reportSchema } from '../../report/schema.ts';
import { askedSha256 } from '../plate/asked.ts';
import { stripName } from '../plate/open-plate.ts';
import { hashOfFile } from '../plate/plate-file.ts';
import type { FileRequest } from '../plate/request.ts';
import { toolFacts } from '../tool.ts';

/** The report of an earlier plate; null where there is none, or none that this version wrote. */
async function earlierReport(path: string): Promise<Report | null> {
  try {
    const parsed = reportSchema.safeParse((await readJsonObject(path, 'report')).value);
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}

function isAsWritten(path: string, sha256: string): boolean {
  try {
    const fd = openSync(path, 'r');
    try {
      return hashOfFile(fd).sha256 === sha256;
    } finally {
      closeSync(fd);
    }
  } catch {
    return false;
  }
}

/**
 * The report of the plate that is asked for, where it lies whole in the folder already; null where it must be made. It is as asked
 * when the same picture and mask, the same request and the same version of the program made it, and every file is as it was written.
 */
export async function keptPlate(
  request: FileRequest,
  folder: string,
  signal: AbortSignal,
): Promise<Report | null> {
  const { name, input, job, strict, outlineMask } = request;
  const report = await earlierReport(join(folder, `${name}.report.json`));
  if (report === null || report.askedSha256 !== askedSha256(request)) return null;
  if (JSON.stringify(report.tool) !== JSON.stringify(await toolFacts())) return null;
  if (refuses(report.cautions, strict)) return null;
  const formats = report.files.flatMap(({ role, format }) => (role === 'plate' ? [format] : []));
  if (formats.join() !== request.formats.join()) return null;
  if (report.files.some((file) => !isAsWritten(join(folder, file.name), file.sha256))) return null;
  if (job.controlStrip && !(await isThere(join(folder, stripName(name))))) return null;
  if (outlineMask && report.outline?.maskSha256 !== (await hashPicture(outlineMask, signal))) return null;
  return report.input.sha256 === (await hashPicture(input, signal)) ? report : null;
}
