import { createReadStream } from 'node:fs';
import { join } from 'node:path';
import type { Command } from 'commander';
import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import { idleProblems } from '../../job/idle.ts';
import type { Layer } from '../../job/layers.ts';
import { ageWords } from '../../job/measured-curve.ts';
import { jobSettings, ownersOfSetting, settingsOf } from '../../job/settings.ts';
import type { Prepared, PrepareRequest } from '../../run/plate/request.ts';
import { type RunSettings, runSchema } from '../../run/settings.ts';
import { openKnown, outlineMaskOf, settleJob } from '../../run/settle-job.ts';
import { errorObject, tellError } from '../errors.ts';
import { EXIT, exitCodeOf } from '../exit-codes.ts';
import { addFlags, jobOption, typedValues } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { openRecord } from '../record.ts';
import { summary } from '../render/run.ts';
import { loadWorkshop, resolveSettings } from '../settle.ts';
import { STDIO, shownName, stemOf } from '../stdio.ts';
import type { Talk } from '../talk.ts';
import { today } from '../today.ts';
import type { CommandDef } from './contract.ts';

const runSettings = settingsOf(runSchema);

/** One picture of the run. */
interface Item {
  readonly path: string;
  readonly name: string;
}

type Outcome =
  | { readonly picture: string; readonly prepared: Prepared }
  | { readonly picture: string; readonly error: unknown };

const isMade = (outcome: Outcome): boolean => 'prepared' in outcome && !outcome.prepared.refused;

const stem = (path: string): string => stemOf(path, 'plate');

/** What does not go together on one command line. */
function clashes(pictures: readonly string[], run: RunSettings, talk: Talk): Problem[] {
  const problems: Problem[] = [];
  const add = (code: string, message: string, hint: string): void =>
    void problems.push({ code, message, hint });
  const several = pictures.length > 1;
  if (pictures.length === 0)
    add('no-picture', 'No picture is given', 'Name one or more, or - for standard input.');
  if (pictures.filter((path) => path === STDIO).length > 1)
    add('stdin-twice', 'Standard input is named twice', 'Name - once.');
  if (several && run.name !== undefined)
    add(
      'name-for-many',
      '--name is given for several pictures',
      'Leave it out, or prepare one picture at a time.',
    );
  if (several && run.report !== undefined)
    add(
      'report-for-many',
      '--report is given for several pictures',
      'Leave it out: each report lies beside its plate.',
    );
  const streams = run.out === STDIO;
  if (streams && several)
    add('out-for-many', '--out - can carry only one plate', 'Give one picture, or a folder with --out.');
  if (streams && run.format.length > 1)
    add('out-for-many', '--out - can carry only one format', 'Give one --format.');
  if (streams && (talk.json || run.report === STDIO))
    add(
      'stdout-twice',
      'Standard output is wanted for both the plate and the report',
      'Give a file for one of them: --report plate.report.json, or --out with a folder.',
    );
  if (run.dryRun && run.report !== undefined && run.report !== STDIO)
    add(
      'report-of-dry-run',
      '--dry-run writes no files, so --report cannot name one',
      'The report goes to standard output: send it to a file from there.',
    );
  if (streams && run.dryRun)
    add(
      'stdout-twice',
      '--dry-run writes no plate, so --out - has nothing to carry',
      'Leave one of them out.',
    );
  const stems = new Map<string, string>();
  for (const path of run.name === undefined ? pictures : []) {
    const key = stem(path).toLowerCase();
    const other = stems.get(key);
    if (other !== undefined && other !== path)
      add(
        'same-name',
        `${other} and ${path} would be written under the same name`,
        'Prepare them apart, with --name.',
      );
    stems.set(key, path);
  }
  return problems;
}

async function settle(pictures: readonly string[], command: Command, talk: Talk) {
  const jobFile = command.getOptionValue('job') as string | undefined;
  const { readJobLayer } = await import('../../run/job-file.ts');
  const layers: Layer[] = jobFile === undefined ? [] : [await readJobLayer(jobFile)];
  const typed = typedValues(command, [...jobSettings, ...runSettings]);
  layers.push({ origin: 'flag', name: '', values: typedValues(command, jobSettings) });
  const { values, problems } = resolveSettings(command, runSettings);
  const given = Object.assign({}, ...layers.map((layer) => layer.values), values);
  const idle = idleProblems([...jobSettings, ...runSettings], Object.keys(typed), given);
  const run = values as RunSettings;
  const known = await openKnown(run, await loadWorkshop(run.workshop));
  const { settled, problems: wrong } = await settleJob(layers, run, known);
  const all = [...clashes(pictures, run, talk), ...wrong, ...problems, ...idle];
  if (all.length > 0 || settled === null) throw new JobError(all);
  return { ...settled, run, jobFile, workshopFile: known.workshopFile };
}

function outputFor(run: RunSettings, item: Item, protect: readonly string[]): PrepareRequest['output'] {
  if (run.dryRun) return { to: 'nowhere' };
  const rest = { overwrite: run.overwrite, protect };
  const toFile = run.report !== undefined && run.report !== STDIO ? run.report : null;
  if (run.out === STDIO) return { to: 'stream', folder: '', reportPath: toFile, ...rest };
  const beside = run.report === STDIO ? null : join(run.out, `${item.name}.report.json`);
  return { to: 'files', folder: run.out, reportPath: toFile ?? beside, ...rest };
}

/** Tells one outcome as it comes; results that scripts read go out here only when each has a line of its own. */
function tell(outcome: Outcome, several: boolean, run: RunSettings, talk: Talk): void {
  if ('error' in outcome) {
    if (several) tellError(outcome.error, talk);
    return;
  }
  const { report, refused, written } = outcome.prepared;
  talk.say(summary(report, refused, talk));
  const old = outcome.prepared.measured && ageWords(outcome.prepared.measured, today());
  if (old) talk.say(`  ${talk.paint.yellow(old)}`);
  if (refused && several) tellError(refusal(report, run.strict, talk), talk);
  if (talk.json || run.out === STDIO) return;
  if (run.dryRun && several) return;
  if (run.dryRun || run.report === STDIO) talk.result(JSON.stringify(report, null, 2));
  else if (written.length > 0) talk.result(written.join('\n'));
}

function tellJson(outcomes: readonly Outcome[], talk: Talk): void {
  const value = (outcome: Outcome): unknown =>
    'error' in outcome
      ? { picture: outcome.picture, ok: false, ...errorObject(outcome.error) }
      : { picture: outcome.picture, ok: !outcome.prepared.refused, report: outcome.prepared.report };
  const [only] = outcomes;
  if (outcomes.length > 1) {
    const plates = outcomes.map(value);
    const made = outcomes.filter(isMade).length;
    talk.result(JSON.stringify({ plates, made, failed: outcomes.length - made }, null, 2));
  } else if (only && 'prepared' in only) talk.result(JSON.stringify(only.prepared.report, null, 2));
}

/** Why a plate was refused: how many reasons where the summary above has told them, else each of them. */
function refusal({ cautions, input }: Prepared['report'], strict: boolean, talk: Talk): EtchError {
  const stops = cautions.filter(({ severity }) => severity === 'stop');
  const warnings = strict ? cautions.filter(({ severity }) => severity === 'warn') : [];
  const reasons = [...stops, ...warnings];
  const numbers = [
    ...(stops.length > 0 ? [`${stops.length} stop${stops.length === 1 ? '' : 's'}`] : []),
    ...(warnings.length > 0
      ? [`${warnings.length} caution${warnings.length === 1 ? '' : 's'} with --strict`]
      : []),
  ];
  const isTold = !talk.quiet && !talk.json;
  const message = isTold
    ? `Refused: ${numbers.join(' and ')}`
    : `Refused ${input.name}: ${reasons.map(({ text, cure }) => `${text}. ${cure}`).join(' ')}`;
  return new EtchError('refused', reasons[0]?.code ?? 'refused', message, 'Nothing was written.');
}

/** The exit code of a whole run. With one picture its own error is thrown and decides. */
function settleOutcomes(outcomes: readonly Outcome[], run: RunSettings, talk: Talk): number {
  const [only] = outcomes;
  if (outcomes.length === 1 && only) {
    if ('error' in only) throw only.error;
    if (only.prepared.refused) {
      tellError(refusal(only.prepared.report, run.strict, talk), talk);
      return EXIT.refused;
    }
    return EXIT.done;
  }
  const failed = outcomes.filter((outcome) => !isMade(outcome)).length;
  // which ones, and why, has been told as they came
  if (failed > 0) talk.say(`${failed} of ${outcomes.length} pictures gave no plate`);
  return failed > 0 ? EXIT.someFailed : EXIT.done;
}

async function run(
  pictures: readonly string[],
  command: Command,
  talk: Talk,
  signal: AbortSignal,
): Promise<number> {
  const settled = await settle(pictures, command, talk);
  const { openSession, spool } = await import('../../run/session.ts');
  const { preparePlate } = await import('../../run/plate/prepare.ts');
  const { openSavedJob, savedValues } = await import('../../run/job-file.ts');
  const owner = thisRun();
  const record = await openRecord('prepare', settled.run);
  const progress = openProgress(talk);
  const session = await openSession({ owner, workers: settled.run.workers, signal, progress: progress.step });
  const outcomes: Outcome[] = [];
  const { saveJob: savePath, overwrite } = settled.run;
  const inputs = [
    ...pictures.filter((path) => path !== STDIO),
    ...(settled.jobFile ? [settled.jobFile] : []),
    ...(settled.workshopFile ? [settled.workshopFile] : []),
    ...(settled.run.curve === undefined ? [] : [settled.run.curve]),
    ...(record.path === null ? [] : [record.path]),
    ...(settled.run.outlineMask === undefined ? [] : [settled.run.outlineMask]),
  ];
  const protect = savePath === undefined ? inputs : [...inputs, savePath];
  let saved: Awaited<ReturnType<typeof openSavedJob>> | undefined;
  try {
    if (savePath !== undefined) saved = await openSavedJob(savePath, { owner, overwrite, protect: inputs });
    for (const path of pictures) {
      if (outcomes.length > 0) talk.say('');
      const item: Item = { path, name: settled.run.name ?? stem(path) };
      try {
        const file =
          path === STDIO ? await spool(process.stdin, session.context.scratchFolder, signal) : path;
        const prepared = await preparePlate(
          {
            input: { path: file, name: shownName(path) },
            name: item.name,
            job: settled.job,
            origins: settled.origins,
            making: settled.making,
            curves: settled.curves,
            formats: settled.run.dryRun ? [] : settled.run.format,
            stored: { fire: settled.run.fire, tiff: settled.run.tiff },
            output: outputFor(settled.run, item, protect),
            outlineMask: outlineMaskOf(settled.run),
            looking: settled.run,
            strict: settled.run.strict,
          },
          session.context,
        );
        if (prepared.streamPath !== null) await talk.stream(createReadStream(prepared.streamPath));
        await record.addPlate(prepared.report, item.name, !prepared.refused, path);
        outcomes.push({ picture: path, prepared });
      } catch (error) {
        // whoever stopped the run, or broke it, stops all of it; a bad picture only itself
        if (signal.aborted) throw signal.reason;
        if (pictures.length === 1 || exitCodeOf(error) === EXIT.ourFault) throw error;
        outcomes.push({ picture: path, error });
      } finally {
        progress.clear();
      }
      tell(outcomes.at(-1)!, pictures.length > 1, settled.run, talk);
    }
    // of one plate all is known now; several may each have a screen of their own, so that stays open
    const [only] = outcomes;
    const bits = outcomes.length === 1 && only && 'prepared' in only ? only.prepared.report.job : undefined;
    if (outcomes.some(isMade)) await saved?.commit(savedValues(settled.job, bits));
    if (talk.json || (settled.run.dryRun && outcomes.length > 1)) tellJson(outcomes, talk);
    return settleOutcomes(outcomes, settled.run, talk);
  } finally {
    progress.clear();
    await saved?.abandon();
    await record.close();
    await session.close();
  }
}

export const prepare: CommandDef = {
  name: 'prepare',
  usage: '[picture...]',
  summary: 'turn pictures into plates: files for the machine, and a report of each',
  examples: [
    'etchwright prepare ferry.png --process relief --width 240mm',
    'etchwright prepare sound.jpg --process intaglio --width 12cm --cap 75',
  ],
  configure(command) {
    command.addOption(jobOption('take settings from a job file; flags override it'));
    addFlags(command, jobSettings, ownersOfSetting);
    addFlags(command, runSettings);
  },
  run,
};
