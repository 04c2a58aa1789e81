import { type Command, Option } from 'commander';
import { screensWith } from '../../job/settings.ts';
import { toldOfPlates } from '../../report/set/told.ts';
import type { MadeSet } from '../../run/sets/separate.ts';
import { separationsWith } from '../../run/sets/settings.ts';
import { tellError } from '../errors.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags, jobOption } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { openRecord } from '../record.ts';
import { refusal } from '../refusal.ts';
import { setTable } from '../render/set.ts';
import { jobFlags, methodFlags, runFlags, setFlags } from '../separate/flags.ts';
import { settleSet } from '../separate/settle.ts';
import { STDIO } from '../stdio.ts';
import type { Talk } from '../talk.ts';
import type { CommandDef } from './contract.ts';

function tell(made: MadeSet, dryRun: boolean, talk: Talk): void {
  talk.say(setTable(made.report, made.refused, talk));
  if (talk.json || dryRun) talk.result(JSON.stringify(made.report, null, 2));
  else if (made.written.length > 0) talk.result(made.written.join('\n'));
}

/** What stands against a set; one plate is reason enough. */
const againstSet = ({ report }: MadeSet) => [
  ...report.cautions,
  ...toldOfPlates(report.plates, ['stop', 'warn']),
];

async function run(
  pictures: readonly string[],
  command: Command,
  talk: Talk,
  signal: AbortSignal,
): Promise<number> {
  const { request, run: settings } = await settleSet(pictures, command);
  const { openSession, spool } = await import('../../run/session.ts');
  const { makeSet } = await import('../../run/sets/separate.ts');
  const record = await openRecord('separate', settings);
  const protect = record.path === null ? request.protect : [...request.protect, record.path];
  const progress = openProgress(talk);
  const { workers, dryRun, strict } = settings;
  const session = await openSession({ owner: thisRun(), workers, signal, progress: progress.step });
  try {
    const { picture } = request;
    const piped = picture?.path === STDIO;
    const path = piped ? await spool(process.stdin, session.context.scratchFolder, signal) : picture?.path;
    const made = await makeSet(
      { ...request, picture: picture && { ...picture, path: path! }, protect },
      session.context,
    );
    progress.clear();
    tell(made, dryRun, talk);
    for (const { name, report } of made.report.plates) {
      const own = request.pictures.find(({ plate }) => plate === name) ?? picture;
      await record.addPlate(report, `${request.name}.${name}`, !made.refused, own?.path ?? null);
    }
    if (!made.refused) return EXIT.done;
    tellError(refusal('the set', againstSet(made), strict), talk);
    return EXIT.refused;
  } finally {
    progress.clear();
    await record.close();
    await session.close();
  }
}

/** An option that may be given several times. */
const again = (flags: string, words: string): Option =>
  new Option(flags, words)
    .argParser((text: string, before: string[] | undefined) => [...(before ?? []), text])
    .helpGroup('Set:');

export const separate: CommandDef = {
  name: 'separate',
  usage: '[picture...]',
  summary: 'make a set of plates for one print: divide a picture, or bring pictures of the plates together',
  examples: [
    'etchwright separate ferry.png --by key --process relief --width 240mm',
    'etchwright separate card.png --by reduction --process relief --width 15cm',
  ],
  configure(command) {
    addFlags(command, setFlags);
    command.addOption(
      again('--plate <name=file>', 'a picture of one plate; give it for each, in printing order'),
    );
    command.addOption(again('--plate-job <name=file>', 'a job file for one plate, over what holds for all'));
    addFlags(command, methodFlags, separationsWith);
    command.addOption(jobOption('take settings of all plates from a job file; flags override it'));
    addFlags(command, jobFlags, screensWith);
    addFlags(command, runFlags);
  },
  run,
};
