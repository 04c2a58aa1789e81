import { basename, join } from 'node:path';
import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import { lookingSchema } from '../../job/proof-settings.ts';
import { settingsOf } from '../../job/settings.ts';

import type { Prepared } from '../../run/prepare.ts';
import type { Remade } from '../../run/remake.ts';
import { type RemakeSettings, remakeSettings } from '../../run/remake-settings.ts';
import type { Remembered } from '../../run/remembered.ts';
import { type RunSettings, runSchema } from '../../run/settings.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { openRecord } from '../record.ts';
import { cautionLines } from '../render.ts';
import { loadWorkshop, resolveSettings } from '../settle.ts';
import type { Talk } from '../talk.ts';
import type { CommandDef } from './contract.ts';

const RUN_KEYS = [
  'out',
  'name',
  'format',
  'tiff',
  'outlineMask',
  'workshop',
  'overwrite',
  'dryRun',
  'workers',
  'notebook',
  'note',
];
const OTHERWISE: Readonly<Record<string, { description?: string; fallback?: null }>> = {
  name: { description: 'stem of the file names; that of the record unless given' },
  out: { description: 'folder for the files' },
  outlineMask: {
    description:
      'mask of its outline; the file with the same bytes beside the record or in this folder unless given',
  },
  format: { description: 'file formats, joined by commas; those of the record unless given', fallback: null },
  dryRun: { description: 'prove the bits and write nothing' },
};

const runFlags = settingsOf(runSchema)
  .filter(({ key }) => RUN_KEYS.includes(key))
  .map((setting) => ({ ...setting, ...OTHERWISE[setting.key] }));
const flags = [...settingsOf(remakeSettings), ...runFlags];

type Settings = RemakeSettings & RunSettings & { readonly format?: RunSettings['format'] };

const short = (text: string): string => (/^[0-9a-f]{64}$/.test(text) ? `${text.slice(0, 12)}…` : text);

function verdictText(plate: Remembered, remade: Remade, dryRun: boolean): string {
  const { sameBits, sameFiles, differences, was, is } = remade;
  const differ = differences.map((one) => `  ${one.what}: ${short(one.was)} → ${short(one.is)}`);
  if (sameBits)
    return [
      `${plate.label}: the same bits, SHA-256 ${short(is)}${sameFiles ? ', and the same files byte for byte' : ''}${dryRun ? ' (nothing was written)' : ''}`,
      ...(differ.length > 0 ? ['Changed since, and the bits are the same all the same:', ...differ] : []),
    ].join('\n');
  return [
    `${plate.label}: other bits. They were ${short(was)}, and are ${short(is)}`,
    ...(differ.length > 0
      ? ['Changed since:', ...differ]
      : [
          'Neither picture, version nor settings are known to differ: the record may have been changed by hand',
        ]),
  ].join('\n');
}

export const remake: CommandDef = {
  name: 'remake',
  usage: '<record>',
  summary: 'make a plate again from its report or its entry in the notebook, and prove its bits',
  examples: [
    'etchwright remake ferry.report.json --dry-run',
    'etchwright remake 12 --input ferry.png --out again',
  ],
  configure: (command) => addFlags(command, flags),
  async run([called], command, talk, signal) {
    const { values, problems } = resolveSettings(command, flags);
    if (problems.length > 0) throw new JobError(problems as Problem[]);
    const settings = values as unknown as Settings;
    const { rememberedPlate } = await import('../../run/remembered.ts');
    const { findNotebook, wantedNotebook } = await import('../../run/notebook.ts');
    const { compareRemade, jobOnRecord, maskOf, pictureOf, remakeRequest } = await import(
      '../../run/remake.ts'
    );
    const plate = await rememberedPlate(called!, () => wantedNotebook(settings.notebook));
    const { workshop, workshopFile } = await loadWorkshop(settings.workshop);
    const request = remakeRequest(plate, workshop);
    const picture = await pictureOf(plate, settings.input);
    const outlineMask = await maskOf(plate, settings.outlineMask);
    const { openSession } = await import('../../run/session.ts');
    const { preparePlate } = await import('../../run/prepare.ts');
    const record = await openRecord('remake', settings);
    const progress = openProgress(talk);
    const session = await openSession({
      owner: thisRun(),
      workers: settings.workers,
      signal,
      progress: progress.step,
    });
    const name = settings.name ?? plate.name;
    try {
      const prepared = await preparePlate(
        {
          ...request,
          input: { path: picture, name: basename(picture) },
          name,
          formats: settings.dryRun ? [] : formatsOf(plate, settings),
          stored: { fire: plate.fire, tiff: settings.tiff },
          output: settings.dryRun
            ? { to: 'nowhere' }
            : {
                to: 'files',
                folder: settings.out,
                reportPath: join(settings.out, `${name}.report.json`),
                overwrite: settings.overwrite,
                protect: [
                  picture,
                  ...[outlineMask?.path ?? null, record.path, workshopFile].filter((path) => path !== null),
                ],
              },
          looking: lookingSchema.parse({}),
          outlineMask,
          strict: false,
          expects: { bitsSha256: plate.bitsSha256, anyway: settings.anyway },
        },
        session.context,
      );
      progress.clear();
      const book = plate.jobChanged ? await findNotebook(settings.notebook) : null;
      const kept = book === null ? null : await jobOnRecord(book, plate.bitsSha256);
      const remade = compareRemade(plate, prepared.report, kept);
      if (remade.sameBits || settings.anyway) await record.add(prepared.report, name, !prepared.refused);
      tell(plate, remade, prepared, settings, talk);
      return prepared.refused || (!remade.sameBits && !settings.anyway) ? EXIT.refused : EXIT.done;
    } finally {
      progress.clear();
      await record.close();
      await session.close();
    }
  },
};

function tell(
  plate: Remembered,
  remade: Remade,
  { report, refused, written }: Prepared,
  { dryRun }: Settings,
  talk: Talk,
): void {
  if (talk.json) {
    talk.result(JSON.stringify({ record: plate.label, ...remade, written, report }, null, 2));
    return;
  }
  const text = verdictText(plate, remade, dryRun);
  if (refused) talk.alert(`etchwright: ${text}`);
  else talk.say(text);
  const stops = report.cautions.filter(({ severity, code }) => severity === 'stop' && code !== 'other-bits');
  if (stops.length > 0) talk.alert(cautionLines(stops, talk).join('\n'));
  if (refused) talk.alert('Nothing was written.');
  else if (written.length > 0) talk.result(written.join('\n'));
}

/** The formats asked for, else those the record has, else the usual one. */
function formatsOf(plate: Remembered, settings: Settings): RunSettings['format'] {
  if (settings.format !== undefined) return settings.format;
  const known = plate.files.map(({ format }) => format as RunSettings['format'][number]);
  if (known.length > 0) return known;
  throw new EtchError(
    'usage',
    'no-format-known',
    `${plate.label} names no plate file to make again`,
    'Say which with --format, or prove the bits with --dry-run.',
  );
}
