import { rm } from 'node:fs/promises';
import { basename, isAbsolute, join } from 'node:path';
import type { Problem } from '../../core/errors.ts';
import { outlines } from '../../core/outlines/index.ts';
import { openFileSet } from '../../io/atomic.ts';
import { isThere } from '../../io/is-there.ts';
import type { Layer } from '../../job/layers.ts';
import { mendPage } from '../../report/batch/mend.ts';
import type { RunContext } from '../plate/context.ts';
import { plateName } from '../plate/plate-file.ts';
import { preparePlate } from '../plate/prepare.ts';
import type { FileRequest } from '../plate/request.ts';
import type { RunSettings } from '../settings.ts';
import { type Known, outlineMaskOf, type Settled, settleJob } from '../settle-job.ts';
import type { Entry } from './entries.ts';
import { keptPlate } from './kept.ts';
import { failed, made, mendName, type Outcome, plateOf, refused, wantsPage, wrongRow } from './outcome.ts';
import { smallPrint } from './picture.ts';

/** What all plates of a batch have in common. */
export interface Shared {
  readonly layers: readonly Layer[];
  readonly run: RunSettings;
  readonly known: Known;
  readonly resume: boolean;
  /** Inputs that must never be written over. */
  readonly protect: readonly string[];
}

/** An entry whose row has been looked at: the job it asks for, or what is wrong with it. */
export type Checked =
  | { readonly entry: Entry; readonly settled: Settled }
  | { readonly entry: Entry; readonly settled: null; readonly wrong: Outcome };

/** That a picture is not there, told before an afternoon's plates are begun; null where it is, or where its name is wrong in itself. */
async function missingPicture({ path, picture, line, layer, problems }: Entry): Promise<Problem | null> {
  if (problems.length > 0 || (await isThere(path))) return null;
  const column = line === null ? '' : ', column "picture"';
  return {
    code: 'picture-not-found',
    message: `${layer.name}${column}: there is no file "${picture}"`,
    hint: 'Check the name and the folder.',
  };
}

/** Lays a row over what all share, and checks it; nothing is read but curves. */
export async function checkEntry(entry: Entry, { layers, run, known }: Shared): Promise<Checked> {
  // a mask for the whole run is for the rows that follow one; a row's own wants an outline that does
  const own = { ...run, outlineMask: entry.outlineMask ?? undefined };
  const { settled, problems } = await settleJob([...layers, entry.layer], own, known);
  const { name } = entry.layer;
  // what does not name its place is told with it
  const placed = problems.map((problem) =>
    problem.message.startsWith(name) ? problem : { ...problem, message: `${name}: ${problem.message}` },
  );
  const missing = await missingPicture(entry);
  const all = [...entry.problems, ...placed, ...(missing === null ? [] : [missing])];
  if (all.length === 0 && settled !== null) return { entry, settled };
  const isPictureAlone = missing !== null && all.length === 1;
  return { entry, settled: null, wrong: wrongRow(entry, all, isPictureAlone ? 'input' : 'usage') };
}

/** Whether an entry's outline follows a mask, where one is given. */
export const followsMask = ({ job }: Settled): boolean =>
  job.outline !== undefined && outlines[job.outline].traced;

const maskFor = ({ outlineMask }: Entry, settled: Settled, run: RunSettings) =>
  followsMask(settled) ? outlineMaskOf({ outlineMask: outlineMask ?? run.outlineMask }) : null;

function requestFor(entry: Entry, settled: Settled, { run, resume, protect }: Shared): FileRequest {
  const { name, path, picture } = entry;
  return {
    input: { path, name: basename(path) },
    // a path of one disk says nothing on another
    ...(isAbsolute(picture) ? {} : { listed: picture.replaceAll('\\', '/') }),
    name,
    ...settled,
    formats: run.dryRun ? [] : run.format,
    stored: { fire: run.fire, tiff: run.tiff },
    output: run.dryRun
      ? { to: 'nowhere' }
      : {
          to: 'files',
          folder: run.out,
          reportPath: join(run.out, `${name}.report.json`),
          overwrite: run.overwrite || resume,
          protect: [...protect, path],
        },
    looking: run,
    outlineMask: maskFor(entry, settled, run),
    strict: run.strict,
  };
}

async function plateFor(
  entry: Entry,
  settled: Settled,
  shared: Shared,
  context: RunContext,
): Promise<Outcome> {
  const { run, resume } = shared;
  const request = requestFor(entry, settled, shared);
  const kept = resume && !run.dryRun ? await keptPlate(request, run.out, context.signal) : null;
  const prepared = kept === null ? await preparePlate(request, context) : null;
  const report = kept ?? prepared!.report;
  if (prepared?.refused) return refused(entry, report, run.strict);
  const picture = run.dryRun ? null : await smallPrint(report, run.out, context.poolFor(0));
  return made(entry, kept === null ? 'made' : 'kept', report, picture);
}

/** Files of an earlier plate that still lie where there is none now. */
async function olderFiles({ name }: Entry, { out, format }: RunSettings): Promise<string[]> {
  const names = [...format.map((kind) => plateName(name, kind)), `${name}.report.json`];
  const there = await Promise.all(names.map((file) => isThere(join(out, file))));
  return names.filter((_, i) => there[i]);
}

/** Writes the page that says what to mend, or takes away that of an earlier run; such pages are the batch's own. */
async function writePage(outcome: Outcome, { run, protect }: Shared, { owner }: RunContext): Promise<void> {
  const path = join(run.out, mendName(outcome.entry.name));
  if (!wantsPage(outcome)) {
    if (outcome.report !== null) await rm(path, { force: true });
    return;
  }
  const set = openFileSet({ owner, overwrite: true, protect });
  try {
    const slot = await set.add(path);
    await slot.write([new TextEncoder().encode(mendPage(plateOf(outcome, 'written')))]);
    await set.commit();
  } finally {
    await set.abandon();
  }
}

/** Does something for an entry; whatever is wrong with it becomes its outcome. Only a stop of the run is thrown. */
async function tried(entry: Entry, signal: AbortSignal, work: () => Promise<Outcome>): Promise<Outcome> {
  try {
    signal.throwIfAborted();
    return await work();
  } catch (error) {
    if (signal.aborted) throw signal.reason;
    return failed(entry, error);
  }
}

/** Makes the plate of one entry, or the page that says why there is none. */
export async function makeEntry(checked: Checked, shared: Shared, context: RunContext): Promise<Outcome> {
  const { entry, settled } = checked;
  const { signal } = context;
  const outcome =
    settled === null
      ? checked.wrong
      : await tried(entry, signal, () => plateFor(entry, settled, shared, context));
  if (shared.run.dryRun) return outcome;
  const isMade = outcome.outcome === 'made' || outcome.outcome === 'kept';
  const told = isMade ? outcome : { ...outcome, olderFiles: await olderFiles(entry, shared.run) };
  return tried(entry, signal, async () => {
    await writePage(told, shared, context);
    return told;
  });
}
