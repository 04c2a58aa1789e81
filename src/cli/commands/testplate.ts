import type { Command } from 'commander';
import { JobError, type Problem } from '../../core/errors.ts';
import { idleProblems } from '../../job/idle.ts';
import { resolveJob } from '../../job/layers.ts';
import { resolveMaking } from '../../job/making.ts';
import { jobSettings, type Setting, screensWith, settingsOf } from '../../job/settings.ts';
import { percent, sizeWords, timeWords } from '../../report/words.ts';
import type { MadeTestPlate } from '../../run/calibration/testplate.ts';
import { testPlateSettings } from '../../run/calibration/testplate-settings.ts';
import { type RunSettings, runSchema } from '../../run/settings.ts';
import { tellError } from '../errors.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags, toldBy, typedValues } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { openRecord } from '../record.ts';
import { refusal } from '../refusal.ts';
import { cautionLines, coverageBar, row } from '../render/run.ts';
import { loadWorkshop, resolveSettings } from '../settle.ts';
import type { Talk } from '../talk.ts';
import type { CommandDef } from './contract.ts';

const SIZE = { widthMm: 150, heightMm: 100 };
const NAME = 'testplate';

/** The settings of a job that a test plate has too; its picture is its own. */
const KEYS = [
  'process',
  'widthMm',
  'heightMm',
  'dpi',
  'facing',
  'capPercent',
  'screen',
  'material',
  'materialConfirmed',
  'machine',
  'press',
  'spotMm',
  'beam',
  'minEtchedMm',
  'minKeptMm',
  'slotMinutes',
  'compensate',
];

/** What is said otherwise of a plate that has no picture. */
const OTHERWISE: Readonly<Record<string, Partial<Setting>>> = {
  widthMm: { description: 'width of the plate', fallback: SIZE.widthMm },
  heightMm: { description: 'height of the plate', fallback: SIZE.heightMm },
  capPercent: { description: 'darkest tone of the control strip; the process decides unless given' },
  screen: { description: 'screen of the tints', unlessGiven: 'what the process takes for tone' },
  compensate: { description: 'allow for a known spot in the tints' },
  name: { description: 'stem of the file names', fallback: NAME },
  out: { description: 'folder for the files' },
};

const toldOtherwise = toldBy(OTHERWISE);
const jobFlags = jobSettings
  .filter(({ key }) => KEYS.includes(key) || screensWith(key).length > 0)
  .map(toldOtherwise);
const runFlags = settingsOf(runSchema)
  .filter(({ key }) =>
    [
      ...['workshop', 'out', 'name', 'format', 'tiff', 'fire', 'overwrite', 'strict', 'workers'],
      ...['notebook', 'note'],
    ].includes(key),
  )
  .map(toldOtherwise);
const ownFlags = settingsOf(testPlateSettings);

function settle(command: Command, known: Awaited<ReturnType<typeof loadWorkshop>>['workshop']) {
  const typed = { ...SIZE, ...typedValues(command, jobFlags) };
  const { job, problems } = resolveJob([{ origin: 'flag', name: '', values: typed }]);
  const making = job && resolveMaking(job, known);
  return { job, making: making?.making ?? null, problems: [...problems, ...(making?.problems ?? [])] };
}

function tell(made: MadeTestPlate, talk: Talk): void {
  const { layout, etched, time, cautions, refused, written } = made;
  const line = (label: string, text: string): string => row(label, text, talk);
  talk.say(
    [
      `${talk.paint.bold(`test plate ${layout.id}`)}: ${layout.process}, ${sizeWords(layout)}, ${layout.dpi} dpi`,
      line('tints', layout.screen.kind),
      line('etched', `${coverageBar(etched)} ${percent(etched)}`),
      ...(time ? [line('time', timeWords(time, null))] : []),
      ...(layout.leftOut.length > 0 ? [line('left out', layout.leftOut.join('; '))] : []),
      ...cautionLines([...cautions], talk),
    ].join('\n'),
  );
  if (talk.json)
    talk.result(JSON.stringify({ ok: !refused, layout, etched, time, files: made.files, cautions }, null, 2));
  else if (written.length > 0) talk.result(written.join('\n'));
}

async function run(
  _args: readonly string[],
  command: Command,
  talk: Talk,
  signal: AbortSignal,
): Promise<number> {
  const { values, problems } = resolveSettings(command, [...runFlags, ...ownFlags]);
  const settings = values as RunSettings & { readonly passLadder: boolean };
  const { workshop, workshopFile } = await loadWorkshop(settings.workshop);
  const { job, making, problems: wrong } = settle(command, workshop);
  const streams: Problem[] =
    settings.out === '-'
      ? [
          {
            code: 'testplate-to-stream',
            message: '--out - cannot carry a test plate, which is two files or more',
            hint: 'Name a folder.',
          },
        ]
      : [];
  const typed = typedValues(command, jobFlags);
  const all = [...wrong, ...problems, ...idleProblems(jobFlags, Object.keys(typed), typed), ...streams];
  if (all.length > 0 || job === null || making === null) throw new JobError(all);

  const { openSession } = await import('../../run/session.ts');
  const { makeTestPlate } = await import('../../run/calibration/testplate.ts');
  const { testPlateDraft } = await import('../../run/records/drafts.ts');
  const record = await openRecord(NAME, { ...settings, dryRun: false });
  const progress = openProgress(talk);
  const { workers } = settings;
  const name = settings.name ?? NAME;
  const kept = [workshopFile, record.path].filter((path) => path !== null);
  const session = await openSession({ owner: thisRun(), workers, signal, progress: progress.step });
  try {
    const made = await makeTestPlate(
      {
        name,
        job: { ...job, widthMm: job.widthMm ?? SIZE.widthMm, heightMm: job.heightMm ?? SIZE.heightMm },
        making,
        formats: settings.format,
        stored: { fire: settings.fire, tiff: settings.tiff },
        folder: settings.out,
        overwrite: settings.overwrite,
        protect: kept,
        strict: settings.strict,
        passLadder: settings.passLadder,
      },
      session.context,
    );
    progress.clear();
    tell(made, talk);
    await record.add('The test plate', { name, made: !made.refused }, (run) =>
      testPlateDraft(made.report, run),
    );
    if (!made.refused) return EXIT.done;
    tellError(refusal('the test plate', made.cautions, settings.strict), talk);
    return EXIT.refused;
  } finally {
    progress.clear();
    await record.close();
    await session.close();
  }
}

export const testplate: CommandDef = {
  name: 'testplate',
  usage: '',
  summary: 'make the plate that measures machine, material, ink and press: files, and its layout',
  examples: [
    'etchwright testplate --process relief --material wood',
    'etchwright testplate --process intaglio --material acrylic --pass-ladder',
  ],
  configure(command) {
    addFlags(command, jobFlags, screensWith);
    addFlags(command, runFlags);
    addFlags(command, ownFlags);
  },
  run,
};
