import { parse } from 'node:path';
import type { Command } from 'commander';
import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import { nothingToDo } from '../../job/idle.ts';
import { type Setting, settingByKey, settingsOf } from '../../job/settings.ts';
import { lengthWords, limitWords, wedgeWords } from '../../report/calibration/curve-words.ts';
import { num, percent } from '../../report/words.ts';
import type { Calibrated, CalibrateRequest, StripDrift } from '../../run/calibration/calibrate.ts';
import { type CalibrateSettings, calibrateSettings } from '../../run/calibration/calibrate-settings.ts';
import type { RunContext } from '../../run/plate/context.ts';
import { type RunSettings, runSchema } from '../../run/settings.ts';
import { tellError } from '../errors.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags, toldBy, typedValues } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { openRecord, type Record as RunRecord } from '../record.ts';
import { row } from '../render/run.ts';
import { resolveSettings } from '../settle.ts';
import type { Talk } from '../talk.ts';
import { today } from '../today.ts';
import type { CommandDef } from './contract.ts';

const NAME = 'proof';

/** What is said otherwise here than of a plate to be made. */
const OTHERWISE: Readonly<Record<string, Partial<Setting>>> = {
  name: {
    description: 'name of the curve and stem of its files; of a control strip, its name in the notebook',
    unlessGiven: `${NAME}, or the scan of a control strip`,
  },
  out: { description: 'folder for the files' },
};

const jobFlags = ['material', 'machine', 'maxPixels'].map((key) => settingByKey.get(key)!);
const runFlags = settingsOf(runSchema)
  .filter(({ key }) => ['out', 'name', 'overwrite', 'notebook', 'note'].includes(key))
  .map(toldBy(OTHERWISE));
const ownFlags = settingsOf(calibrateSettings);
const flags = [...ownFlags, ...jobFlags, ...runFlags];

type Settings = CalibrateSettings &
  Pick<RunSettings, 'out' | 'name' | 'overwrite' | 'notebook' | 'note'> & {
    readonly maxPixels: number;
    readonly material?: string;
    readonly machine?: string;
  };

/** What the reading of a control strip goes by; nothing is written of it, and no curve is made. */
const OF_STRIP = ['controlStrip', 'layout', 'wedge', 'maxPixels', 'notebook', 'note'];
/** What of a control strip goes into its entry in the notebook, and nowhere else. */
const OF_STRIP_ENTRY = ['name', 'material', 'machine', 'batch'];

/** Flags beside `--control-strip` that would do nothing. */
function idleBesideStrip(typed: readonly string[], isNoted: boolean): Problem[] {
  const told = (wanted: (key: string) => boolean, code: string, why: string, instead: string): Problem[] => {
    const names = flags
      .filter(({ key }) => typed.includes(key) && wanted(key))
      .map(({ flag }) => `--${flag}`);
    return names.length === 0 ? [] : [nothingToDo(code, names, `--control-strip ${why}`, instead)];
  };
  const known = [...OF_STRIP, ...OF_STRIP_ENTRY];
  return [
    ...told(
      (key) => !known.includes(key),
      'strip-is-compared-only',
      'compares tones and writes no files',
      'read proofs of the test plate',
    ),
    ...told(
      (key) => !isNoted && OF_STRIP_ENTRY.includes(key),
      'strip-without-notebook',
      'is noted in no notebook here',
      'begin one with `etchwright notebook init`',
    ),
  ];
}

function wrongWith(
  scans: readonly string[],
  settings: Settings,
  typed: readonly string[],
  isNoted: boolean,
): Problem[] {
  const { layout, into, material, controlStrip } = settings;
  return [
    ...(scans.length > 0
      ? []
      : [{ code: 'no-scan', message: 'No scan is given', hint: 'Name one or more scans of proofs.' }]),
    ...(layout !== undefined
      ? []
      : [
          {
            code: 'no-layout',
            message: `It is not said which ${controlStrip === undefined ? 'test plate was printed' : 'plate the control strip is on'}`,
            hint: `Give its layout, the ${controlStrip === undefined ? '.testplate' : '.strip'}.json written beside it, with --layout.`,
          },
        ]),
    ...(into === undefined || material !== undefined || controlStrip !== undefined
      ? []
      : [
          {
            code: 'no-material',
            message: '--into enters the curve for a sheet of the workshop, and none is named',
            hint: 'Name it with --material.',
          },
        ]),
    ...(controlStrip === undefined || scans.length <= 1
      ? []
      : [{ code: 'one-strip', message: '--control-strip reads one scan', hint: 'Give one scan at a time.' }]),
    ...(controlStrip === undefined ? [] : idleBesideStrip(typed, isNoted)),
  ];
}

/** What a print cannot tell of the spot, for those who would have it in their workshop file. */
const SPOT_NOT_ENTERED =
  'The spot was not entered in the workshop file: read from a print it holds the spread of the ink. Measure a mark on the plate itself, as the job sheet of the test plate says.';

function tell({ curve, proofs, written }: Calibrated, into: boolean, talk: Talk): void {
  const { limits, stretch } = curve;
  const line = (label: string, text: string): string => row(label, text, talk);
  const middle = curve.knots.find(({ share }) => share >= 0.5);
  talk.say(
    [
      `${talk.paint.bold(`curve ${curve.name}`)}: ${proofs.length} ${proofs.length === 1 ? 'proof' : 'proofs'} of test plate ${curve.layoutId}`,
      ...(middle ? [line('middle', `${percent(middle.share)} prints as ${percent(middle.printed)}`)] : []),
      line(
        'solid',
        `density ${num(curve.solidDensity, 2)}, printed white ${num(curve.whiteDensity, 2)} above paper`,
      ),
      line('light', wedgeWords(curve.wedge)),
      line('tones', `from ${num(curve.floorPercent)} % to ${num(curve.capPercent)} %`),
      line('kept', `lines ${limitWords(limits.minWallMm)}, dots ${limitWords(limits.minLandMm)}`),
      line('etched', `lines ${limitWords(limits.minGapMm)}, dots ${limitWords(limits.minMarkMm)}`),
      ...(limits.maxPoolMm ? [line('pools', `hold ink up to ${limitWords(limits.maxPoolMm, 'wider')}`)] : []),
      ...(limits.maxGapMm ? [line('wells', `stay clean up to ${limitWords(limits.maxGapMm, 'wider')}`)] : []),
      line('spot', `${lengthWords(curve.spot)}${curve.spot ? ', as it prints' : ''}`),
      line(
        'stretch',
        stretch === null
          ? 'not measured'
          : `${num(stretch.xPercent, 2)} % across, ${num(stretch.yPercent, 2)} % down`,
      ),
      line('look', 'type, focus stars and samples are for eyes: the sheet says what to look for, and where.'),
      ...curve.warnings.map(({ text }) => line('caution', `${text}.`)),
      ...(into && curve.spot ? [line('note', SPOT_NOT_ENTERED)] : []),
    ].join('\n'),
  );
  if (talk.json) talk.result(JSON.stringify({ ok: true, curve, files: written }, null, 2));
  else talk.result(written.join('\n'));
}

/** Half of what is compared may then be the scanner. */
const NOT_LIKE_READ =
  'Of curve and strip one was read by a wedge and the other was not: what differs may be the scanner. Read both alike, with --wedge or without.';

/** Says whether a strip still equals its curve; the exit code says it too. */
function tellDrift(drift: StripDrift, talk: Talk): number {
  if (!drift.isLikeRead) talk.say(row('caution', NOT_LIKE_READ, talk));
  if (talk.json) talk.result(JSON.stringify({ ok: drift.holds, ...drift }, null, 2));
  else
    talk.result(
      drift.patches
        .map(
          ({ share, lightness, expected, off, holds }) =>
            `${percent(share).padStart(6)}  L* ${num(lightness)}  curve ${num(expected)}  ${off < 0 ? '' : '+'}${num(off)}${holds ? '' : '  beyond 3'}`,
        )
        .join('\n'),
    );
  if (drift.holds) return EXIT.done;
  tellError(
    new EtchError(
      'refused',
      'curve-drifted',
      'The control strip is not what it was when the curve was measured',
      'Look at inking, wiping, focus and lens; if they are right, print the test plate again.',
    ),
    talk,
  );
  return EXIT.refused;
}

/** Reads a control strip; what came of it is noted whether it holds or not. */
async function workOnStrip(
  scan: string,
  curveFile: string,
  { layout: layoutFile = '', maxPixels, ...settings }: Settings,
  talk: Talk,
  record: RunRecord,
  context: RunContext,
): Promise<number> {
  const { checkStrip } = await import('../../run/calibration/calibrate.ts');
  const wedgeFile = settings.wedge ?? null;
  const checked = await checkStrip({ scan, layoutFile, wedgeFile, maxPixels, curveFile }, context);
  const code = tellDrift(checked.drift, talk);
  const name = settings.name ?? parse(scan).name;
  const { holds } = checked.drift;
  await record.add('The control strip', { name, made: holds, isRead: true }, async (run) => {
    const { stripDraft } = await import('../../run/records/drafts.ts');
    const { hashedFiles } = await import('../../run/hashed-files.ts');
    const { toolFacts } = await import('../../run/tool.ts');
    const hashes = {
      scans: await hashedFiles([scan]),
      curve: (await hashedFiles([curveFile]))[0]?.sha256 ?? null,
    };
    const { machine = null, material = null, batch = null } = settings;
    return stripDraft(checked, hashes, { machine, material, batch }, await toolFacts(), run);
  });
  return code;
}

async function work(
  scans: readonly string[],
  settings: Settings,
  talk: Talk,
  record: RunRecord,
  context: RunContext,
): Promise<number> {
  const { layout: layoutFile = '', maxPixels, controlStrip } = settings;
  if (controlStrip !== undefined)
    return workOnStrip(scans[0]!, controlStrip, settings, talk, record, context);
  const { calibrate: readProofs } = await import('../../run/calibration/calibrate.ts');
  const wedgeFile = settings.wedge ?? null;
  const request: CalibrateRequest = {
    scans,
    layoutFile,
    maxPixels,
    name: settings.name ?? NAME,
    folder: settings.out,
    overwrite: settings.overwrite,
    rulerMm: settings.rulerMm ?? null,
    wedgeFile,
    about: {
      target: settings.target,
      measuredOn: settings.measuredOn ?? today(),
      machine: settings.machine ?? null,
      material: settings.material ?? null,
      batch: settings.batch ?? null,
    },
    into: settings.into ?? null,
  };
  const made = await readProofs(request, context);
  tell(made, settings.into !== undefined, talk);
  await record.add('The curve', { name: request.name, made: true }, async (run) => {
    const { calibrationDraft } = await import('../../run/records/drafts.ts');
    const { hashedFiles } = await import('../../run/hashed-files.ts');
    const { toolFacts } = await import('../../run/tool.ts');
    const hashes = { scans: await hashedFiles(scans), files: await hashedFiles(made.written) };
    return calibrationDraft(made, request, hashes, await toolFacts(), run);
  });
  return EXIT.done;
}

async function run(
  scans: readonly string[],
  command: Command,
  talk: Talk,
  signal: AbortSignal,
): Promise<number> {
  const { values, problems } = resolveSettings(command, flags);
  const settings = values as unknown as Settings;
  const { findNotebook } = await import('../../run/records/notebook.ts');
  const typed = Object.keys(typedValues(command, flags));
  const isNoted = (await findNotebook(settings.notebook)) !== null;
  const wrong = [...problems, ...wrongWith(scans, settings, typed, isNoted)];
  if (wrong.length > 0) throw new JobError(wrong);
  const { openSession } = await import('../../run/session.ts');
  const record = await openRecord('calibrate', { ...settings, dryRun: false });
  const progress = openProgress(talk);
  const session = await openSession({
    owner: thisRun(),
    workers: undefined,
    signal,
    progress: progress.step,
  });
  try {
    return await work(scans, settings, talk, record, session.context);
  } finally {
    progress.clear();
    await record.close();
    await session.close();
  }
}

export const calibrate: CommandDef = {
  name: 'calibrate',
  usage: '[scan...]',
  summary: 'read scanned proofs of a test plate: the curve of its tones, and what held',
  examples: [
    'etchwright calibrate 3.tif 4.tif --layout a.testplate.json --wedge wedge.json',
    'etchwright calibrate 9.tif --layout p.strip.json --control-strip a.curve.json',
  ],
  configure: (command) => addFlags(command, flags),
  run,
};
