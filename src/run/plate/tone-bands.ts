import { createHash } from 'node:crypto';
import type { Report } from '../../report/schema.ts';
import { toneStoreOf } from '../formats.ts';
import type { Pool } from '../pool.ts';
import { hashHead, inOrder, type Made, type Progress } from './bands.ts';
import { hashOfFile, type OpenFile, verifyToneFile } from './plate-file.ts';
import { bandsIn, type ToneSetup } from './setup.ts';

/** A tone plate, whose files are written already, under their temporary names. */
interface MadeTone extends Made {
  /** CRC-32 of each band's rows. */
  readonly crcs: readonly number[];
}

/**
 * Makes a tone plate band by band and writes each to all its files at once, since the plate is nowhere whole: a
 * byte a pixel would be eight times the memory of marks.
 */
export async function makeTonePlate(
  setup: ToneSetup,
  open: readonly OpenFile[],
  pool: Pool,
  signal: AbortSignal,
  progress: Progress,
): Promise<MadeTone> {
  const { head, id } = setup;
  const files = open.map(({ kind, slot }) => ({ slot, grown: toneStoreOf(kind).grow(head) }));
  for (const { slot, grown } of files) await slot.write([grown.start]);
  const hash = createHash('sha256').update(hashHead(head.widthPx, head.heightPx));
  const crcs: number[] = [];
  let sum = 0;
  const bands = bandsIn(head.heightPx, head.bandRows);
  await inOrder(
    bands,
    // one waiting behind every one that is made: bands are large
    pool.threads + 1,
    signal,
    (band) => pool.run({ do: 'tone', plate: id, args: [band] }),
    async (made, band) => {
      hash.update(made.rows);
      sum += made.sum;
      crcs.push(made.crc);
      for (const [index, { slot, grown }] of files.entries())
        await slot.write(grown.put(made.encoded[index]!));
      progress('writing', band + 1, bands);
    },
  );
  for (const { slot, grown } of files) await slot.writeOver(grown.front());
  return { etchedPx: sum / 255, bitsSha256: hash.digest('hex'), thinLines: null, found: [], crcs };
}

/** Reads every file of a tone plate back, and tells what the report says of them. */
export async function checkToneFiles(
  { head, id }: ToneSetup,
  open: readonly OpenFile[],
  crcs: readonly number[],
  pool: Pool,
  signal: AbortSignal,
  progress: Progress,
): Promise<Report['files']> {
  const files: Report['files'] = [];
  for (const [index, { kind, name, slot }] of open.entries()) {
    signal.throwIfAborted();
    progress('checking', index, open.length);
    const statedDpi = await verifyToneFile(kind, slot.fd, name, id, head, crcs, pool);
    const store = toneStoreOf(kind);
    files.push({
      role: 'plate',
      name,
      format: kind,
      photometric: store.photometric(head),
      packed: store.packed?.(head) ?? null,
      fire: head.fire,
      statedDpi,
      ...hashOfFile(slot.fd),
    });
  }
  return files;
}
