import { JobError } from '../../core/errors.ts';
import { settingsOf } from '../../job/settings.ts';
import type { Difference, Remade } from '../../report/remake-schema.ts';
import type { MadeAgain } from '../../run/remake/contract.ts';
import { type RemakeSettings, remakeSettings } from '../../run/remake/settings.ts';
import { type RunSettings, runSchema } from '../../run/settings.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags, toldBy } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { openRecord } from '../record.ts';
import { cautionLines } from '../render/run.ts';
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
  tiff: {
    description: 'how the strips of a TIFF are packed; as in the record unless given',
    fallback: null,
  },
  dryRun: { description: 'prove the bits and write nothing' },
};

const runFlags = settingsOf(runSchema)
  .filter(({ key }) => RUN_KEYS.includes(key))
  .map(toldBy(OTHERWISE));
const flags = [...settingsOf(remakeSettings), ...runFlags];

type Settings = RemakeSettings &
  Omit<RunSettings, 'format' | 'tiff'> &
  Partial<Pick<RunSettings, 'format' | 'tiff'>>;

const short = (text: string): string => (/^[0-9a-f]{64}$/.test(text) ? `${text.slice(0, 12)}…` : text);

const differenceLine = ({ what, was, is }: Difference): string => `  ${what}: ${short(was)} → ${short(is)}`;

const NOTHING_KNOWN =
  'Neither picture, version nor settings are known to differ: the record may have been changed by hand';

/** Bits of one plate, or of how many; those that are not the same by name. */
function bitsText({ plates }: Pick<Remade, 'plates'>): { same: string; others: readonly string[] } {
  const [first] = plates;
  const others = plates.filter(({ was, is }) => was !== is);
  const word = ({ was, is }: (typeof plates)[number]): string =>
    `They were ${short(was ?? 'not there')}, and are ${short(is ?? 'not made')}`;
  if (plates.length === 1) return { same: `SHA-256 ${short(first!.is ?? '')}`, others: others.map(word) };
  return { same: `${plates.length} of them`, others: others.map((one) => `${one.name}: ${word(one)}`) };
}

function verdictText(label: string, remade: MadeAgain['remade'], dryRun: boolean): string {
  const { sameBits, sameFiles, differences } = remade;
  const differ = differences.map(differenceLine);
  const { same, others } = bitsText(remade);
  if (sameBits)
    return [
      `${label}: the same bits, ${same}${sameFiles ? ', and the same files byte for byte' : ''}${dryRun ? ' (nothing was written)' : ''}`,
      ...(differ.length > 0 ? ['Changed since, and the bits are the same all the same:', ...differ] : []),
    ].join('\n');
  return [
    `${label}: other bits. ${others.join('; ')}`,
    ...(differ.length > 0 ? ['Changed since:', ...differ] : [NOTHING_KNOWN]),
  ].join('\n');
}

function tell(label: string, made: MadeAgain, dryRun: boolean, talk: Talk): void {
  const { remade, refused, cautions } = made;
  if (talk.json) {
    const { kind, ...rest } = remade;
    const told: Remade = { schema: 'etchwright/remake', version: 1, record: label, kind, ...rest };
    talk.result(JSON.stringify(told, null, 2));
    return;
  }
  const text = verdictText(label, remade, dryRun);
  if (refused) talk.alert(`etchwright: ${text}`);
  else talk.say(text);
  const stops = cautions.filter(({ severity, code }) => severity === 'stop' && code !== 'other-bits');
  if (stops.length > 0) talk.alert(cautionLines(stops, talk).join('\n'));
  if (refused) talk.alert('Nothing was written.');
  else if (remade.written.length > 0) talk.result(remade.written.join('\n'));
}

export const remake: CommandDef = {
  name: 'remake',
  usage: '<record>',
  summary: 'make plates again from their report or entry in the notebook, and prove their bits',
  examples: [
    'etchwright remake ferry.report.json --dry-run',
    'etchwright remake 12 --input ferry.png --out again',
  ],
  configure: (command) => addFlags(command, flags),
  async run([called], command, talk, signal) {
    const { values, problems } = resolveSettings(command, flags);
    if (problems.length > 0) throw new JobError(problems);
    const settings = values as unknown as Settings;
    const { openRecorded } = await import('../../run/remake/open.ts');
    const { findNotebook, wantedNotebook } = await import('../../run/records/notebook.ts');
    const recorded = await openRecorded(called!, () => wantedNotebook(settings.notebook));
    const { workshop, workshopFile } = await loadWorkshop(settings.workshop);
    const { openSession } = await import('../../run/session.ts');
    const record = await openRecord('remake', settings);
    const progress = openProgress(talk);
    const { dryRun, anyway, workers } = settings;
    const session = await openSession({ owner: thisRun(), workers, signal, progress: progress.step });
    try {
      const made = await recorded.make(
        {
          ...{ input: settings.input, outlineMask: settings.outlineMask },
          ...{ name: settings.name, format: settings.format, tiff: settings.tiff },
          folder: dryRun ? null : settings.out,
          overwrite: settings.overwrite,
          protect: [record.path, workshopFile].filter((path) => path !== null),
          anyway,
          workshop,
          notebook: await findNotebook(settings.notebook),
        },
        session.context,
      );
      progress.clear();
      const { refused, remade } = made;
      if (remade.sameBits || anyway)
        for (const { name, picture, draft } of made.entries)
          await record.add('What was made again,', { name, made: !refused, picture }, draft);
      tell(recorded.label, made, dryRun, talk);
      return refused || (!remade.sameBits && !anyway) ? EXIT.refused : EXIT.done;
    } finally {
      progress.clear();
      await record.close();
      await session.close();
    }
  },
};
