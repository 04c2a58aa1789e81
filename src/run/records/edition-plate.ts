import { readReport } from './read-report.ts';

/** What a ledger keeps of a plate, out of its report. Throws an EtchError of kind 'usage' where it is none. */
export async function plateOfReport(path: string) {
  const { plate, material, bitsSha256 } = await readReport(path);
  const { process, widthMm, heightMm, dpi } = plate;
  return { bitsSha256, process, widthMm, heightMm, dpi, material: material?.id ?? null };
}
