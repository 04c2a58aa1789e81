import { basename } from 'node:path';
import type { Command } from 'commander';
import { EtchError, JobError } from '../../core/errors.ts';
import type { ProcessKind } from '../../core/processes/index.ts';
import { resolveMaking } from '../../job/making.ts';
import type { Job } from '../../job/schema.ts';
import { settingByKey, settingsOf } from '../../job/settings.ts';
import type { CheckReport } from '../../report/check-schema.ts';
import { runSchema } from '../../run/settings.ts';
import { errorObject, tellError } from '../errors.ts';
import { EXIT, exitCodeOf } from '../exit-codes.ts';
import { addFlags, typedValues } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { checkTable } from '../render-check.ts';
import { loadWorkshop, resolveSettings } from '../settle.ts';
import type { Talk } from '../talk.ts';
import type { CommandDef } from './contract.ts';

/** The settings of a job that speak of a plate which is made already. */
const KEYS = [
  'process',
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
const runFlags = settingsOf(runSchema).filter(({ key }) =>
  ['workshop', 'fire', 'strict', 'workers'].includes(key),
);

type CheckSettings = Omit<Job, 'process'> & {
  readonly process?: ProcessKind;
  readonly workshop?: string;
  readonly fire?: 'dark' | 'light';
  readonly strict: boolean;
  readonly workers?: number;
};

type Outcome = { readonly plate: string } & ({ readonly report: CheckReport } | { readonly error: unknown });

const stops = (report: CheckReport, strict: boolean): boolean =>
  report.cautions.some(({ severity }) => severity === 'stop' || (strict && severity === 'warn'));

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
  const { workshop } = await loadWorkshop(settings.workshop);
  const makingFor = (process: ProcessKind) => resolveMaking({ ...settings, process }, workshop);
  const wrong = [...problems, ...makingFor(settings.process ?? 'relief').problems];
  if (plates.length === 0)
    wrong.push({ code: 'no-plate', message: 'No plate is given', hint: 'Name one or more plate files.' });
  if (wrong.length > 0) throw new JobError(wrong);

  const { openSession } = await import('../../run/session.ts');
  const { checkPlate } = await import('../../run/check.ts');
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
        const report = await checkPlate(
          {
            input: { path: plate, name: basename(plate) },
            job: { ...settings, process: settings.process ?? null },
            dpi: 'dpi' in typedValues(command, jobFlags) ? settings.dpi : null,
            fire: settings.fire ?? 'dark',
            makingFor: (process) => makingFor(process).making,
          },
          session.context,
        );
        progress.clear();
        outcomes.push({ plate, report });
        if (!talk.json) talk.result(checkTable(report, talk));
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
  const refused = outcomes.filter((outcome) => 'report' in outcome && stops(outcome.report, settings.strict));
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
  summary: 'measure finished plate files: size, what will really be etched, what will not hold, minutes',
  examples: [
    'etchwright check ferry.plate.png --process relief --material wood',
    'etchwright check *.png --strict --json',
  ],
  configure(command) {
    addFlags(command, [...jobFlags, ...runFlags]);
  },
  run,
};
