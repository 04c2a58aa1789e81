import { join } from 'node:path';
import { EtchError } from '../../core/errors.ts';
import { openFileSet } from '../../io/atomic.ts';
import { sweepStale } from '../../io/stale.ts';
import { type Part, partOf } from '../../job/part.ts';
import { type Card, contactSheet } from '../../report/batch/contact.ts';
import type { BatchPlate, BatchReport } from '../../report/batch/schema.ts';
import { inOrder } from '../plate/bands.ts';
import type { RunContext } from '../plate/context.ts';
import { toolFacts } from '../tool.ts';
import type { Entries } from './entries.ts';
import { inputsIn } from './entries.ts';
import { checkEntry, followsMask, makeEntry, type Shared } from './make.ts';
import { type Outcome, plateOf } from './outcome.ts';

/** Plates that may be done before the one in front is, for each that is made at a time: small results wait, no plates. */
const AHEAD = 8;

export interface BatchRequest {
  readonly entries: Entries;
  readonly part: Part | null;
  readonly shared: Omit<Shared, 'protect'>;
  /** Files of the run that must never be written over, beside the pictures. */
  readonly inputs: readonly string[];
}

export interface BatchTold {
  /** All rows that are wrong in themselves, before any plate is made. */
  wrongRows(outcomes: readonly Outcome[]): void;
  /** One plate, in the order of the list. */
  plate(outcome: Outcome, plate: BatchPlate, of: number): Promise<void>;
}

/** Gives each work a lane of its own while it runs; the others wait in the order they came. */
function openLanes<Lane>(lanes: readonly Lane[]): <T>(work: (lane: Lane) => Promise<T>) => Promise<T> {
  const free = [...lanes];
  const waiting: ((lane: Lane) => void)[] = [];
  return async (work) => {
    const lane = free.pop() ?? (await new Promise<Lane>((take) => waiting.push(take)));
    try {
      return await work(lane);
    } finally {
      const next = waiting.shift();
      if (next) next(lane);
      else free.push(lane);
    }
  };
}

const contactName = (part: Part | null): string =>
  part === null ? 'contact.html' : `contact.part-${part.index}-of-${part.of}.html`;

/** Opens the contact sheet before any work: a folder that cannot be written is told at once, and stays there meanwhile. */
async function openSheet({ part, shared }: BatchRequest, protect: readonly string[], { owner }: RunContext) {
  const { run, resume } = shared;
  if (run.dryRun) return null;
  await sweepStale(run.out, owner);
  const set = openFileSet({ owner, overwrite: run.overwrite || resume, protect });
  try {
    return { set, slot: await set.add(join(run.out, contactName(part))) };
  } catch (error) {
    await set.abandon();
    throw error;
  }
}

const secondsOf = ({ outcome, report }: Outcome): number =>
  outcome === 'made' || outcome === 'kept' ? (report?.time?.totalS ?? 0) : 0;

/** The report of a batch, and what is not for scripts: whether the program itself broke on a plate. */
export interface Batched {
  readonly report: BatchReport;
  readonly isOurs: boolean;
}

/**
 * Makes the plates of a list, several at a time, and tells of each in its order. One that cannot be made stops no other. In
 * the end the contact sheet is put in place. Files are the same whatever the number made at a time.
 */
export async function runBatch(
  request: BatchRequest,
  told: BatchTold,
  /** One for each plate that is made at a time; all of one session. */
  lanes: readonly RunContext[],
): Promise<Batched> {
  const { entries, part, inputs } = request;
  const context = lanes[0]!;
  const { run } = request.shared;
  const rows = partOf(entries.entries, part);
  const named = [...inputs, ...entries.sources];
  const protect = [
    ...named,
    ...(await inputsIn(
      run.out,
      entries.entries.flatMap(({ path, outlineMask }) => [
        path,
        ...(outlineMask === null ? [] : [outlineMask]),
      ]),
    )),
  ];
  const shared: Shared = { ...request.shared, protect };
  const checked = await Promise.all(rows.map((entry) => checkEntry(entry, shared)));
  if (run.outlineMask !== undefined && !checked.some(({ settled }) => settled && followsMask(settled)))
    throw new EtchError(
      'usage',
      'mask-without-shape',
      '--outline-mask is given, and no row has an outline that follows it',
      'Leave it out, or choose --outline shape.',
    );
  told.wrongRows(checked.flatMap((one) => (one.settled === null ? [one.wrong] : [])));
  const sheet = await openSheet(request, protect, context);
  const written = run.dryRun ? 'nowhere' : 'written';
  const plates: BatchPlate[] = [];
  const cards: Card[] = [];
  const counts = { made: 0, kept: 0, refused: 0, failed: 0 };
  let totalS = 0;
  let isOurs = false;
  try {
    const inLane = openLanes(lanes);
    await inOrder(
      checked.length,
      lanes.length * AHEAD,
      context.signal,
      (i) => inLane((lane) => makeEntry(checked[i]!, shared, lane)),
      async (outcome) => {
        const plate = plateOf(outcome, written);
        plates.push(plate);
        cards.push({ outcome: plate, picture: outcome.picture });
        counts[outcome.outcome]++;
        totalS += secondsOf(outcome);
        isOurs ||= outcome.isOurs;
        await told.plate(outcome, plate, checked.length);
      },
    );
    if (sheet) {
      const title = {
        list: entries.list?.name ?? null,
        part: part && `part ${part.index} of ${part.of}`,
        totalS,
      };
      await sheet.slot.write([new TextEncoder().encode(contactSheet(cards, title))]);
      await sheet.set.commit();
    }
  } finally {
    await sheet?.set.abandon();
  }
  return {
    isOurs,
    report: {
      schema: 'etchwright/batch',
      version: 1,
      tool: await toolFacts(),
      list: entries.list,
      part,
      dryRun: run.dryRun,
      rows: entries.entries.length,
      counts,
      totalS: Math.round(totalS * 1000) / 1000,
      contactSheet: sheet && contactName(part),
      plates,
    },
  };
}
