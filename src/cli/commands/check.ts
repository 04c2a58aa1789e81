import { basename } from 'node:path';
import type { Command } from 'commander';
import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import type { ProcessKind } from '../../core/processes/index.ts';
import { idleProblems } from '../../job/idle.ts';
import { resolveMaking } from '../../job/making.ts';
import { type Looking, proofSettingsSchema } from '../../job/proof-settings.ts';
import type { Job } from '../../job/schema.ts';
import { type Setting, settingByKey, settingsOf } from '../../job/settings.ts';
import { refuses } from '../../report/cautions/index.ts';
import { lookingClashes } from '../../run/looking/clashes.ts';
import type { Checked } from '../../run/plate/check.ts';
import { plateStem } from '../../run/plate/stem.ts';
import { type RunSettings, runSchema } from '../../run/settings.ts';
import { errorObject, tellError } from '../errors.ts';
import { EXIT, exitCodeOf } from '../exit-codes.ts';
import { addFlags, toldBy, typedValues } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { checkTable } from '../render/check.ts';
import { loadWorkshop, resolveSettings } from '../settle.ts';
import type { Talk } from '../talk.ts';
import type { CommandDef } from './contract.ts';

/** The settings of a job that speak of a plate which is made already. */
const KEYS = [
  'process',
  'facing',
  'dpi',
  'page',
  'maxPixels',
  'material',
  'materialConfirmed',
  'machine',
  'press',
  'depthMm',
  'passes',
  'spotMm',
  'beam',
  'slotMinutes',
  'hold',
];
const jobFlags = KEYS.map((key) => settingByKey.get(key)!);
/** The settings of a run that speak of it, and of what may be drawn of it; a job sheet wants the job. */
const RUN_KEYS = [
  'workshop',
  'fire',
  'out',
  'overwrite',
  'strict',
  'workers',
  'proof',
  'holdmap',
  ...Object.keys(proofSettingsSchema.shape),
];
/** What is said otherwise of files that are measured: only what is drawn of them is written. */
const ofLooks = { onlyWith: ['proof', 'holdmap'] };
const OTHERWISE: Readonly<Record<string, Partial<Setting>>> = {
  out: { description: 'folder for proofs and hold maps', ...ofLooks },
  overwrite: ofLooks,
};
const runFlags = settingsOf(runSchema)
  .filter(({ key }) => RUN_KEYS.includes(key))
  .map(toldBy(OTHERWISE));

type CheckSettings = Omit<Job, 'process' | 'facing'> &
  Partial<Pick<Job, 'process' | 'facing'>> &
  Omit<Looking, 'jobsheet'> &
  Pick<RunSettings, 'workshop' | 'fire' | 'strict' | 'workers' | 'out' | 'overwrite'>;

type Outcome = { readonly plate: string } & (Checked | { readonly error: unknown });

/** What does not go together: two plates under one name, or pictures with nowhere to go. */
function clashes(plates: readonly string[], settings: CheckSettings, looking: Looking): Problem[] {
  const { hold, out, process } = settings;
  const problems = lookingClashes(
    looking,
    { streams: false, dryRun: false },
    { hold, screen: null, process },
  );
  if (plates.length === 0)
    problems.push({
      code: 'no-plate',
      message: 'No plate is given',
      hint: 'Name one or more plate files.',
    });
  if (!(settings.proof || settings.holdmap)) return problems;
  if (out === '-')
    problems.push({
      code: 'look-of-stream',
      message: '--out -: pictures to look at are files, and do not go to standard output',
      hint: 'Give a folder with --out.',
    });
  const stems = new Map<string, string>();
  for (const plate of plates) {
    const key = plateStem(plate).toLowerCase();
    const other = stems.get(key);
    if (other !== undefined)
      problems.push({
        code: 'same-name',
        message: `What is drawn of ${other} and ${plate} would be written under the same name`,
        hint: 'Check them apart, with another --out for each.',
      });
    stems.set(key, plate);
  }
  return problems;
}

function tellJson(outcomes: readonly Outcome[], talk: Talk): void {
  const [only] = outcomes;
  if (outcomes.length === 1 && only) {
    if ('report' in only) talk.result(JSON.stringify(only.report, null, 2));
    return;
  }
  const plates = outcomes.map((outcome) =>
    'report' in outcome
      ? { plate: outcome.plate, ok: true, report: outcome.report }
      : { plate: outcome.plate, ok: false, ...errorObject(outcome.error) },
  );
  talk.result(JSON.stringify({ plates }, null, 2));
}

async function run(
  plates: readonly string[],
  command: Command,
  talk: Talk,
  signal: AbortSignal,
): Promise<number> {
  const { values, problems } = resolveSettings(command, [...jobFlags, ...runFlags]);
  const settings = values as unknown as CheckSettings;
  const looking: Looking = { ...settings, jobsheet: false };
  const { workshop, workshopFile } = await loadWorkshop(settings.workshop);
  const makingFor = (process: ProcessKind) => resolveMaking({ ...settings, process }, workshop);
  const flags = [...jobFlags, ...runFlags];
  const wrong = [
    ...problems,
    ...idleProblems(flags, Object.keys(typedValues(command, flags)), values),
    ...clashes(plates, settings, looking),
    ...makingFor(settings.process ?? 'relief').problems,
  ];
  if (wrong.length > 0) throw new JobError(wrong);

  const { openSession } = await import('../../run/session.ts');
  const { checkPlate } = await import('../../run/plate/check.ts');
  const progress = openProgress(talk);
  const session = await openSession({
    owner: thisRun(),
    workers: settings.workers,
    signal,
    progress: progress.step,
  });
  const outcomes: Outcome[] = [];
  try {
    for (const plate of plates) {
      try {
        const checked = await checkPlate(
          {
            input: { path: plate, name: basename(plate) },
            job: { ...settings, process: settings.process ?? null, facing: settings.facing ?? null },
            dpi: 'dpi' in typedValues(command, jobFlags) ? settings.dpi : null,
            fire: settings.fire,
            makingFor: (process) => makingFor(process).making,
            looks: {
              looking,
              folder: settings.out,
              name: plateStem(plate),
              overwrite: settings.overwrite,
              protect: [...plates, ...(workshopFile ? [workshopFile] : [])],
            },
          },
          session.context,
        );
        progress.clear();
        outcomes.push({ plate, ...checked });
        if (!talk.json) talk.result(checkTable(checked, talk));
      } catch (error) {
        progress.clear();
        if (signal.aborted) throw signal.reason;
        if (plates.length === 1 || exitCodeOf(error) === EXIT.ourFault) throw error;
        outcomes.push({ plate, error });
        tellError(error, talk);
      }
    }
  } finally {
    await session.close();
  }
  if (talk.json) tellJson(outcomes, talk);
  if (outcomes.some((outcome) => 'error' in outcome)) return EXIT.someFailed;
  const refused = outcomes.filter(
    (outcome) => 'report' in outcome && refuses(outcome.report.cautions, settings.strict),
  );
  if (refused.length === 0) return EXIT.done;
  tellError(
    new EtchError(
      'refused',
      'does-not-pass',
      `${refused.map(({ plate }) => plate).join(', ')}: not without its cautions`,
      settings.strict ? 'With --strict a caution counts as a refusal.' : 'A caution forbids it.',
    ),
    talk,
  );
  return EXIT.refused;
}

export const check: CommandDef = {
  name: 'check',
  usage: '[plate...]',
  summary:
    'measure finished plate files: size, what will really be etched, what will not hold, minutes; draw their proofs',
  examples: [
    'etchwright check ferry.plate.png --process relief --material wood',
    'etchwright check *.plate.png --strict --proof --holdmap',
  ],
  configure(command) {
    addFlags(command, [...jobFlags, ...runFlags]);
  },
  run,
};
