import { EtchError } from '../../core/errors.ts';
import { readJsonObject } from '../../io/json-file.ts';
import { type Report, reportSchema } from '../../report/schema.ts';

/** Reads the report of a plate. Throws an EtchError of kind 'usage' where it is none, or not as it was written. */
export async function readReport(path: string): Promise<Report> {
  const { value } = await readJsonObject(path, 'report');
  const parsed = reportSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  throw new EtchError(
    'usage',
    'report-not-usable',
    `Reading the report ${path}: it is not the report of a plate as it was written (${issue?.path.join('.') || 'as a whole'}: ${issue?.message})`,
    'Name the .report.json that was written beside the plate.',
  );
}
