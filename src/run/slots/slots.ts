import { basename } from 'node:path';
import * as z from 'zod';
import { EtchError } from '../../core/errors.ts';
import { readJsonObject } from '../../io/json-file.ts';
import { type NamedSheet, sheetsOf } from '../../report/slots.ts';
import { timedReportSchema } from '../../report/slots-schema.ts';

/** `plates/ferry.report.json` → `ferry`. */
const nameOf = (path: string): string => basename(path).replace(/(\.report)?\.json$/i, '');

/** Reads the sheets that a report describes; throws EtchError where it is no report of ours, or tells no time. */
export async function readSheets(path: string): Promise<NamedSheet[]> {
  const { value } = await readJsonObject(path, 'report');
  const parsed = timedReportSchema.safeParse(value);
  if (!parsed.success) {
    const what = z.prettifyError(parsed.error).split('\n')[0]!.replace(/^✖ /, '');
    throw new EtchError(
      'usage',
      'not-a-report',
      `Reading the report ${path}: it is none that tells of passes (${what})`,
      'Name the .report.json that stands beside a plate, or what `check --json` printed.',
    );
  }
  const sheets = sheetsOf(nameOf(path), parsed.data);
  if (sheets === null)
    throw new EtchError(
      'usage',
      'report-without-time',
      `Reading the report ${path}: it tells no time`,
      'Make the plate again, or check its file, with a machine that is known.',
    );
  return sheets;
}
