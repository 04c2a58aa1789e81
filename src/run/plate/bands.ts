import { createHash } from 'node:crypto';
import type { ScreenFinding } from '../../core/screens/contract.ts';
import type { ThinSides } from '../../core/thin-lines.ts';
import type { Extents } from '../../core/time/extents.ts';
import { erosionOnly, seamsOf, trimReach } from '../../core/trim.ts';
import type { Pool } from '../pool.ts';
import { type BandTrim, rowsOfBand } from './finishing.ts';
import type { BandSink } from './plate-file.ts';
import { type BitsSetup, bandsIn, screenBandRows } from './setup.ts';

type Phase = 'reading' | 'screening' | 'finishing' | 'judging' | 'drawing' | 'writing' | 'checking';

export type Progress = (phase: Phase, done: number, total: number) => void;

export interface Made {
  /** Of a tone plate each pixel counts by its tone. */
  readonly etchedPx: number;
  readonly bitsSha256: string;
  readonly thinLines: ThinSides | null;
  /** What the screen had to give up, print-reading. */
  readonly found: readonly ScreenFinding[];
}

/** A plate of marks; its bands have gone to the sinks. */
interface MadeBits extends Made {
  /** First and last etched pixel of each row, band by band. */
  readonly rowBands: readonly Extents[];
}

/** Width and height as the hash of the bits begins with them. */
export function hashHead(widthPx: number, heightPx: number): Uint8Array {
  const head = new DataView(new ArrayBuffer(8));
  head.setUint32(0, widthPx);
  head.setUint32(4, heightPx);
  return new Uint8Array(head.buffer);
}

/** Runs `work` for bands 0…count − 1 on the pool, a few ahead of the threads, and takes the results in order. */
export async function inOrder<Result>(
  count: number,
  ahead: number,
  signal: AbortSignal,
  work: (band: number) => Promise<Result>,
  take: (result: Result, band: number) => void | Promise<void>,
): Promise<void> {
  // those not yet taken, the first one in front; what was taken is let go, since a band may be large
  const running: Promise<Result>[] = [];
  let next = 0;
  try {
    for (let band = 0; band < count; band++) {
      while (next < count && next < band + ahead) {
        const begun = work(next++);
        // several may fail at once; the one in front is heard
        begun.catch(() => undefined);
        running.push(begun);
      }
      signal.throwIfAborted();
      const result = await running[0]!;
      void running.shift();
      await take(result, band);
    }
  } finally {
    // what is under way still writes to shared memory: let it end before anybody gives that up
    await Promise.allSettled(running);
  }
}

/**
 * The trim of each band, its neighbours' rows saved before any is trimmed. Bands that no screened band with a need for openings
 * reaches into are only eroded; cells that the picture's edge cuts inside the plate always need them.
 */
function trimsFor({ plan, bitmap }: BitsSetup, needsOpening: readonly boolean[]): BandTrim[] {
  const { trim } = plan;
  if (!trim) return [];
  const { box } = plan.layout;
  const isWhole = box.widthPx === bitmap.widthPx && box.heightPx === bitmap.heightPx;
  const screenRows = screenBandRows(plan.screen);
  const reachRows = Math.max(...Object.values(trimReach(trim)));
  return Array.from({ length: bandsIn(bitmap.heightPx) }, (_, band) => {
    const [from, to] = rowsOfBand(band, bitmap.heightPx);
    const first = Math.floor(Math.max(0, from - reachRows) / screenRows);
    const last = Math.floor((to - 1 + reachRows) / screenRows);
    const opens = !isWhole || needsOpening.slice(first, last + 1).includes(true);
    const used = opens ? trim : erosionOnly(trim);
    return { trim: used, seams: seamsOf(bitmap, used, from, to) };
  });
}

/** Makes the finished plate of a setup in its bitmap: screened band by band, then finished, counted, encoded. */
export async function makePlate(
  setup: BitsSetup,
  /** One for each of the setup's formats, in their order. */
  sinks: readonly BandSink[],
  pool: Pool,
  countThinLines: boolean,
  signal: AbortSignal,
  progress: Progress,
): Promise<MadeBits> {
  const { plan, bitmap, id } = setup;
  const ahead = pool.threads * 2;
  const thin = countThinLines ? pool.run({ do: 'thinLines', plate: id, args: [] }) : null;
  // asked for last: not where a band has failed before
  thin?.catch(() => undefined);
  const screened = bandsIn(plan.layout.box.heightPx, screenBandRows(plan.screen));
  const found: ScreenFinding[] = [];
  const needsOpening: boolean[] = [];
  await inOrder(
    screened,
    ahead,
    signal,
    (band) => pool.run({ do: 'screen', plate: id, args: [band] }),
    (given, band) => {
      found.push(...given.found);
      needsOpening.push(given.needsOpening);
      progress('screening', band + 1, screened);
    },
  );

  if (plan.narrowFor || plan.trim) {
    const bands = Array.from({ length: bandsIn(bitmap.heightPx) }, (_, band) => band);
    await Promise.all(bands.map((band) => pool.run({ do: 'etch', plate: id, args: [band] })));
    signal.throwIfAborted();
    if (plan.narrowFor) await pool.run({ do: 'narrow', plate: id, args: [] });
  }
  const finished = await finishPlate(setup, trimsFor(setup, needsOpening), sinks, pool, signal, progress);
  return { ...finished, thinLines: await thin, found };
}

/** A finished plate; its bands have gone to the sinks. */
type Finished = Pick<MadeBits, 'etchedPx' | 'bitsSha256' | 'rowBands'>;

/** Finishes a plate whose ink, or etch, stands in its bitmap: band by band, counted and encoded. */
export async function finishPlate(
  { id, bitmap, head }: Pick<BitsSetup, 'id' | 'bitmap' | 'head'>,
  trims: readonly BandTrim[],
  /** One for each of the setup's formats, in their order. */
  sinks: readonly BandSink[],
  pool: Pool,
  signal: AbortSignal,
  progress: Progress,
): Promise<Finished> {
  const hash = createHash('sha256').update(hashHead(bitmap.widthPx, bitmap.heightPx));
  const bands = bandsIn(bitmap.heightPx);
  const rowBands: Extents[] = [];
  let etchedPx = 0;
  await inOrder(
    bands,
    pool.threads * 2,
    signal,
    (band) => pool.run({ do: 'finish', plate: id, args: [band, trims[band] ?? null] }),
    async (result, band) => {
      const rows = head.bandRows * bitmap.strideBytes;
      hash.update(bitmap.data.subarray(band * rows, (band + 1) * rows));
      etchedPx += result.etched;
      rowBands.push(result.extents);
      for (const [format, part] of result.encoded.entries()) await sinks[format]!.put(part);
      progress('finishing', band + 1, bands);
    },
  );
  return { etchedPx, bitsSha256: hash.digest('hex'), rowBands };
}
