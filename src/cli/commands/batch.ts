import type { Command } from 'commander';
import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import { type Layer, valueProblems } from '../../job/layers.ts';
import { ageWords } from '../../job/measured-curve.ts';
import { type Part, parsePart } from '../../job/part.ts';
import { jobSettings, type Setting, screensWith, settingsOf } from '../../job/settings.ts';
import type { BatchPlate, BatchReport } from '../../report/batch/schema.ts';
import type { BatchTold } from '../../run/batch/batch.ts';
import { MOST_LIST_BYTES } from '../../run/batch/limits.ts';
import { type BatchSettings, batchSettings } from '../../run/batch/settings.ts';
import { type RunSettings, runSchema } from '../../run/settings.ts';
import { openKnown } from '../../run/settle-job.ts';
import { tellError } from '../errors.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags, jobOption, toldBy, typedValues } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openRecord, type Record } from '../record.ts';
import { batchSummary, plateLine } from '../render/batch.ts';
import { loadWorkshop, resolveSettings } from '../settle.ts';
import type { Talk } from '../talk.ts';
import { today } from '../today.ts';
import type { CommandDef } from './contract.ts';

/** What speaks of one plate, or is the batch's own. */
const NOT_HERE = ['name', 'report', 'saveJob'];

const OTHERWISE: Readonly<{ [key: string]: Partial<Setting> }> = {
  out: { description: 'folder for the files' },
  workers: { description: 'plates made at a time; the cores there are, at most 3, unless given' },
  dryRun: { description: 'do everything but write: see what would become of each' },
};

const runFlags = settingsOf(runSchema)
  .filter(({ key }) => !NOT_HERE.includes(key))
  .map(toldBy(OTHERWISE));
const ownFlags = settingsOf(batchSettings);
/** Flags that may be no columns. */
const WHOLE_RUN = [...runFlags, ...ownFlags].map(({ flag }) => flag);

type Settings = RunSettings & BatchSettings;

function clashes({ out, jsonl }: Settings, talk: Talk): Problem[] {
  const problems: Problem[] = [];
  const add = (code: string, message: string, hint: string): void =>
    void problems.push({ code, message, hint });
  if (out === '-')
    add('batch-to-stream', '--out - can carry only one plate', 'Name a folder for the plates of the list.');
  if (jsonl && talk.json)
    add(
      'json-twice',
      '--json and --jsonl are given',
      'Give one: one value at the end, or a line for each plate.',
    );
  return problems;
}

function partFrom(text: string | undefined, problems: Problem[]): Part | null {
  if (text === undefined) return null;
  try {
    return parsePart(text);
  } catch (error) {
    if (!(error instanceof EtchError)) throw error;
    problems.push({ code: error.code, message: error.message, hint: error.hint });
    return null;
  }
}

async function settle(command: Command, talk: Talk) {
  const { values, problems } = resolveSettings(command, [...runFlags, ...ownFlags]);
  const settings = values as Settings;
  const jobFile = command.getOptionValue('job') as string | undefined;
  const { readJobLayer } = await import('../../run/job-file.ts');
  const layers: Layer[] = jobFile === undefined ? [] : [await readJobLayer(jobFile)];
  layers.push({ origin: 'flag', name: '', values: typedValues(command, jobSettings) });
  const all = [...clashes(settings, talk), ...valueProblems(layers), ...problems];
  const part = partFrom(settings.part, all);
  if (all.length > 0) throw new JobError(all);
  const found = await loadWorkshop(settings.workshop);
  const known = await openKnown(settings, found);
  const inputs = [jobFile, found.workshopFile, settings.curve].filter((file) => typeof file === 'string');
  return { settings, part, inputs, shared: { layers, run: settings, known, resume: settings.resume } };
}

async function standardInput(): Promise<Uint8Array> {
  const pieces: Buffer[] = [];
  let bytes = 0;
  for await (const piece of process.stdin) {
    pieces.push(piece as Buffer);
    bytes += (piece as Buffer).length;
    // whoever reads it tells that it is too much
    if (bytes > MOST_LIST_BYTES) break;
  }
  return Buffer.concat(pieces);
}

/** Tells of each plate as it comes: a line for people, one for scripts. */
function openTold(settings: Settings, record: Record, talk: Talk): BatchTold {
  const told = new Set<number>();
  const tellProblems = (problems: readonly Problem[]): void => tellError(new JobError(problems), talk);
  return {
    wrongRows(outcomes) {
      for (const { entry } of outcomes) told.add(entry.row);
      const problems = outcomes.flatMap((outcome) => outcome.problems);
      if (problems.length > 0) tellProblems(problems);
    },
    async plate({ entry, problems, report, outcome }, plate, of) {
      talk.say(plateLine(plate, of, talk));
      if (problems.length > 0 && !told.has(entry.row))
        tellProblems(problems.map((problem) => ({ ...problem, message: withName(plate, problem.message) })));
      if (settings.jsonl) talk.result(JSON.stringify(plate));
      else if (!talk.json && plate.plate !== null && plate.outcome !== 'refused')
        for (const { role, name } of plate.plate.files)
          if (role === 'plate') talk.result(joined(settings.out, name));
      // what lay there already has its entry from when it was made
      if (report && outcome !== 'kept')
        await record.addPlate(report, entry.name, outcome === 'made', entry.path);
    },
  };
}

const withName = ({ picture, called }: BatchPlate, message: string): string =>
  message.includes(picture) ? message : `${called} (${picture}): ${message}`;

const joined = (folder: string, name: string): string =>
  folder === '.' ? name : `${folder.replace(/\/+$/, '')}/${name}`;

/** Curves that have grown old, each told once; only the command line knows what day it is. */
function tellAge({ plates }: BatchReport, talk: Talk): void {
  const words = plates.map(({ plate }) => plate?.curve && ageWords(plate.curve, today()));
  for (const old of new Set(words)) if (old) talk.say(talk.paint.yellow(old));
}

async function run(
  paths: readonly string[],
  command: Command,
  talk: Talk,
  signal: AbortSignal,
): Promise<number> {
  const { settings, part, inputs, shared } = await settle(command, talk);
  const { readEntries } = await import('../../run/batch/entries.ts');
  const entries = await readEntries(paths, standardInput, WHOLE_RUN, settings.from);
  const { openSession, usualThreads } = await import('../../run/session.ts');
  const { runBatch } = await import('../../run/batch/batch.ts');
  const record = await openRecord('batch', settings);
  const atOnce = Math.min(settings.workers ?? usualThreads(), Math.max(1, entries.entries.length));
  const session = await openSession({
    owner: thisRun(),
    workers: undefined,
    signal,
    progress: () => undefined,
  });
  try {
    const protect = record.path === null ? inputs : [...inputs, record.path];
    const request = { entries, part, shared, inputs: protect };
    const { report, isOurs } = await runBatch(
      request,
      openTold(settings, record, talk),
      session.lanes(atOnce),
    );
    tellAge(report, talk);
    talk.say(batchSummary(report, settings.out, talk));
    if (talk.json) talk.result(JSON.stringify(report, null, 2));
    if (isOurs) return EXIT.ourFault;
    return report.counts.refused + report.counts.failed > 0 ? EXIT.someFailed : EXIT.done;
  } finally {
    await record.close();
    await session.close();
  }
}

export const batch: CommandDef = {
  name: 'batch',
  usage: '[list-or-jobs...]',
  summary: 'make many plates from a list (CSV) or from job files; one bad picture stops no other',
  examples: [
    'etchwright batch class.csv --process intaglio --width 150mm --out plates',
    'etchwright batch class.csv --job class.job.json --out plates --resume',
  ],
  configure(command) {
    command.addOption(jobOption('settings that all rows share; flags override it, a row overrides both'));
    addFlags(command, ownFlags);
    addFlags(command, jobSettings, screensWith);
    addFlags(command, runFlags);
  },
  run,
};
