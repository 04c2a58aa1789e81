import { EtchError } from '../core/errors.ts';
import { readJsonObject } from '../io/json-file.ts';
import { reportSchema } from '../report/schema.ts';

/** What a ledger keeps of a plate, out of its report. Throws an EtchError of kind 'usage' where it is none. */
export async function plateOfReport(path: string) {
  const { value } = await readJsonObject(path, 'report');
  const parsed = reportSchema.safeParse(value);
  if (!parsed.success)
    throw new EtchError(
      'usage',
      'report-not-usable',
      `Reading the report ${path}: it is not the report of a plate as it was written`,
      'Name the .report.json that was written beside the plate.',
    );
  const { plate, material, bitsSha256 } = parsed.data;
  const { process, widthMm, heightMm, dpi } = plate;
  return { bitsSha256, process, widthMm, heightMm, dpi, material: material?.id ?? null };
}
