import type { Command } from 'commander';
import { JobError, type Problem } from '../../core/errors.ts';
import { outlines } from '../../core/outlines/index.ts';
import { idleProblems } from '../../job/idle.ts';
import { resolveMaking } from '../../job/making.ts';
import type { Job } from '../../job/schema.ts';
import { type Setting, settingByKey, settingsOf } from '../../job/settings.ts';
import type { MadeGang } from '../../run/gang/gang.ts';
import { type GangSettings, gangSettings } from '../../run/gang/settings.ts';
import type { MakingFor } from '../../run/gang/settle.ts';
import { type RunSettings, runSchema } from '../../run/settings.ts';
import { tellError } from '../errors.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags, toldBy, typedValues } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { openRecord } from '../record.ts';
import { refusal } from '../refusal.ts';
import { gangTable } from '../render/gang.ts';
import { loadWorkshop, resolveSettings } from '../settle.ts';
import type { Talk } from '../talk.ts';
import type { CommandDef } from './contract.ts';

const NAME = 'gang';

/** The settings of a job that speak of plates which are made already. */
const KEYS = [
  'process',
  'dpi',
  'maxPixels',
  'material',
  'materialConfirmed',
  'machine',
  'depthMm',
  'passes',
  'spotMm',
  'beam',
  'kerfMm',
  'slotMinutes',
  'outline',
  'outlineAs',
  'outlineToleranceMm',
  'outlineColour',
  'outlineInsetMm',
  'outlineRadiusMm',
];

/** Outlines that can be drawn around a plate whose picture is not at hand. */
const UNTRACED = Object.values(outlines)
  .filter(({ traced }) => !traced)
  .map(({ kind }) => kind);

/** What is said otherwise of several plates. */
const OTHERWISE: Readonly<Record<string, Partial<Setting>>> = {
  process: { description: 'what the plates are for; their reports say so unless given', fallback: null },
  dpi: { description: 'resolution of plate files that do not state theirs', fallback: null },
  material: { description: 'what the sheet is; the plates’ reports say so unless given' },
  outline: {
    description: 'line drawn around every plate, as SVG and PDF; those that plates bring unless given',
    choices: UNTRACED,
  },
  outlineAs: {
    description:
      'what the line is for: a cut, a guide for cutting by hand, or a template; never less careful than the sheet',
  },
  // where --outline is not given, plates bring lines that are drawn already
  outlineInsetMm: {
    description: 'how far inside the edge of its plate the outline runs',
    onlyWith: ['outline'],
  },
  outlineRadiusMm: { onlyWith: ['outline'] },
  outlineToleranceMm: { onlyWith: ['outline'] },
  // which sheet it is the plates’ own reports may say
  materialConfirmed: { onlyWith: [] },
  name: { description: 'stem of the file names', fallback: NAME },
  out: { description: 'folder for the files' },
  fire: { description: 'which pixel value fires: in the sheets, and in plates without a report' },
  overwrite: { description: 'replace files that are there already (never a plate that is given)' },
  dryRun: { description: 'do everything but write files; the report goes to standard output' },
};

const toldOtherwise = toldBy(OTHERWISE);
const jobFlags = KEYS.map((key) => toldOtherwise(settingByKey.get(key)!));
const RUN_KEYS = [
  'out',
  'name',
  'format',
  'tiff',
  'fire',
  'workshop',
  'overwrite',
  'dryRun',
  'strict',
  'workers',
  'notebook',
  'note',
];
const runFlags = settingsOf(runSchema)
  .filter(({ key }) => RUN_KEYS.includes(key))
  .map(toldOtherwise);
const ownFlags = settingsOf(gangSettings);

type Settings = Omit<Partial<Job>, 'maxPixels'> & Pick<Job, 'maxPixels'> & RunSettings & GangSettings;

function clashes(plates: readonly string[], { duplicates, out, outline }: Settings): Problem[] {
  const problems: Problem[] = [];
  if (plates.length === 0)
    problems.push({ code: 'no-plate', message: 'No plate is given', hint: 'Name one or more plate files.' });
  if (plates.length > 1 && duplicates !== undefined)
    problems.push({
      code: 'duplicates-of-many',
      message: `--duplicates is given for ${plates.length} plates`,
      hint: 'Give one plate, or name each as often as it is wanted.',
    });
  if (outline !== undefined && outlines[outline].traced)
    problems.push({
      code: 'outline-wants-picture',
      message: `--outline ${outline} follows a picture, and plates are ganged without theirs`,
      hint: `Make the plates with --outline ${outline}, and leave it out here: they bring it with them.`,
    });
  if (out === '-')
    problems.push({
      code: 'gang-to-stream',
      message: '--out - cannot carry a gang, which is three files or more',
      hint: 'Name a folder.',
    });
  return problems;
}

function tell(made: MadeGang, dryRun: boolean, talk: Talk): void {
  talk.say(gangTable(made.report, made.refused, talk));
  if (talk.json || dryRun) talk.result(JSON.stringify(made.report, null, 2));
  else if (made.written.length > 0) talk.result(made.written.join('\n'));
}

async function run(
  plates: readonly string[],
  command: Command,
  talk: Talk,
  signal: AbortSignal,
): Promise<number> {
  const { values, problems } = resolveSettings(command, [...jobFlags, ...runFlags, ...ownFlags]);
  const settings = values as unknown as Settings;
  const { workshop, workshopFile } = await loadWorkshop(settings.workshop);
  const flags = [...jobFlags, ...runFlags, ...ownFlags];
  const idle = idleProblems(flags, Object.keys(typedValues(command, flags)), values);
  const all = [...clashes(plates, settings), ...problems, ...idle];
  if (all.length > 0) throw new JobError(all);
  const makingFor: MakingFor = ({ process, material, materialConfirmed }) =>
    resolveMaking(
      {
        ...settings,
        process,
        ...(material === null ? {} : { material }),
        ...(materialConfirmed === null ? {} : { materialConfirmed }),
      },
      workshop,
    );

  const { openSession } = await import('../../run/session.ts');
  const { makeGang } = await import('../../run/gang/gang.ts');
  const { gangDraft } = await import('../../run/records/drafts.ts');
  const record = await openRecord(NAME, settings);
  const progress = openProgress(talk);
  const { workers, dryRun, strict } = settings;
  const name = settings.name ?? NAME;
  const kept = [workshopFile, record.path].filter((path) => path !== null);
  const session = await openSession({ owner: thisRun(), workers, signal, progress: progress.step });
  try {
    const made = await makeGang(
      {
        plates,
        name,
        settings,
        wish: {
          process: settings.process ?? null,
          material: settings.material ?? null,
          materialConfirmed: settings.materialConfirmed ?? null,
        },
        reading: { fire: settings.fire, dpi: settings.dpi ?? null, maxPixels: settings.maxPixels },
        depth: settings,
        makingFor,
        outline: settings,
        formats: dryRun ? [] : settings.format,
        stored: { fire: settings.fire, tiff: settings.tiff },
        folder: dryRun ? null : settings.out,
        overwrite: settings.overwrite,
        protect: kept,
        strict,
      },
      session.context,
    );
    progress.clear();
    tell(made, dryRun, talk);
    await record.add('The gang', { name, made: !made.refused }, (run) => gangDraft(made.report, run));
    if (!made.refused) return EXIT.done;
    tellError(refusal('the sheets', made.report.cautions, strict), talk);
    return EXIT.refused;
  } finally {
    progress.clear();
    await record.close();
    await session.close();
  }
}

export const gang: CommandDef = {
  name: 'gang',
  usage: '[plate...]',
  summary: 'lay several finished plates, or copies of one, on as few sheets as they need, in the least time',
  examples: [
    'etchwright gang class/*.plate.png --sheet-width 600mm --sheet-height 400mm',
    'etchwright gang ferry.plate.png --duplicates 6 --gutter 8mm --turn off',
  ],
  configure(command) {
    addFlags(command, ownFlags);
    addFlags(command, jobFlags);
    addFlags(command, runFlags);
  },
  run,
};
