import type { FormatDef, PlateHead } from '../../io/formats/contract.ts';
import { formats } from '../../io/formats/index.ts';
import type { Report } from '../../report/schema.ts';
import type { Pool } from '../pool.ts';
import type { Progress } from './bands.ts';
import { type BandSink, type OpenFile, verifyFile } from './plate-file.ts';

/** Ends every file of the plate and reads it back, all still under temporary names. */
export async function writePlates(
  open: readonly OpenFile[],
  sinks: readonly BandSink[],
  plate: number,
  head: PlateHead,
  pool: Pool,
  { signal, progress }: { readonly signal: AbortSignal; readonly progress: Progress },
  role: Report['files'][number]['role'] = 'plate',
): Promise<Report['files']> {
  const files: Report['files'] = [];
  for (const [index, { kind, name, slot }] of open.entries()) {
    progress('writing', index, open.length);
    const { bytes, sha256 } = await sinks[index]!.end();
    const format: FormatDef = formats[kind];
    const told = { photometric: format.photometric(head), packed: format.packed?.(head) ?? null };
    signal.throwIfAborted();
    progress('checking', index, open.length);
    const statedDpi = await verifyFile(kind, slot.fd, name, plate, head, pool);
    files.push({ role, name, format: kind, ...told, fire: head.fire, bytes, sha256, statedDpi });
  }
  return files;
}
