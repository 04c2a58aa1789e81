import { type Command, Option } from 'commander';
import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import { parseMeasure } from '../../job/measures.ts';
import { settingsOf } from '../../job/settings.ts';
import { type NamedSheet, slotsReport } from '../../report/slots.ts';
import type { SlotsReport } from '../../report/slots-schema.ts';
import { type SlotsSettings, slotsSettings } from '../../run/slots/slots-settings.ts';
import { tellError } from '../errors.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags } from '../flags.ts';
import { slotsTable } from '../render/slots.ts';
import { resolveSettings } from '../settle.ts';
import type { Talk } from '../talk.ts';
import type { CommandDef } from './contract.ts';

const flags = settingsOf(slotsSettings);
const DAY_MINUTES = 1440;
const FORMS = 'Give minutes from 1 to 1440, such as --slot 90min, or --slots 90,90,60.';

/** A length as it was typed, and the flag it was typed behind. */
interface Typed {
  readonly flag: '--slots' | '--slot';
  readonly text: string;
}

/** The lengths of the slots in minutes, those given one by one after the list. */
function slotLengths(
  typed: readonly Typed[],
  reserveMinutes: number,
): { minutes: number[]; problems: Problem[] } {
  const problems: Problem[] = [];
  const minutes: number[] = [];
  for (const { flag, text } of typed) {
    const length = parseMeasure('minutes', text.trim());
    if (length === null || length < 1 || length > DAY_MINUTES)
      problems.push({ code: 'bad-slot', message: `${flag}: "${text}" is no length of a slot`, hint: FORMS });
    else if (length <= reserveMinutes)
      problems.push({
        code: 'slot-within-reserve',
        message: `${flag}: nothing is left of ${length} min when ${reserveMinutes} min are kept free`,
        hint: 'Give a shorter --reserve, or leave that slot out.',
      });
    else minutes.push(length);
  }
  if (typed.length === 0)
    problems.push({ code: 'no-slots', message: 'No booked slot is given', hint: FORMS });
  return { minutes, problems };
}

/** Two reports of one name are told apart by their number. */
function named(sheets: readonly NamedSheet[]): NamedSheet[] {
  const seen = new Map<string, number>();
  return sheets.map((sheet) => {
    const before = seen.get(sheet.name) ?? 0;
    seen.set(sheet.name, before + 1);
    return before === 0 ? sheet : { ...sheet, name: `${sheet.name} (${before + 1})` };
  });
}

function refusal({ dropped, needed }: SlotsReport): EtchError {
  const names = dropped.map(({ name }) => name).join(', ');
  const hint =
    needed === null
      ? 'A pass is longer than any slot: book longer ones, or make the plate at a lower --dpi or smaller.'
      : `Leave ${dropped.length === 1 ? 'it' : 'them'} for another day, or book ${needed.slots} slots in all.`;
  return new EtchError('refused', 'does-not-fit', `Planning slots: no room for ${names}`, hint);
}

async function run(paths: readonly string[], command: Command, talk: Talk): Promise<number> {
  const { values, problems } = resolveSettings(command, flags);
  const { slots = [], changeMinutes, reserveMinutes } = values as unknown as SlotsSettings;
  const single = (command.getOptionValue('slot') as string[] | undefined) ?? [];
  const typed = [
    ...slots.map((text): Typed => ({ flag: '--slots', text })),
    ...single.map((text): Typed => ({ flag: '--slot', text })),
  ];
  const lengths = slotLengths(typed, reserveMinutes ?? 0);
  const wrong = [...problems, ...lengths.problems];
  if (paths.length === 0)
    wrong.push({
      code: 'no-report',
      message: 'No report is given',
      hint: 'Name one or more .report.json files.',
    });
  if (wrong.length > 0) throw new JobError(wrong);

  const { readSheets } = await import('../../run/slots/slots.ts');
  const sheets: NamedSheet[] = [];
  for (const path of paths) sheets.push(...(await readSheets(path)));
  const report = slotsReport(named(sheets), {
    slotsS: lengths.minutes.map((minutes) => minutes * 60),
    changeS: changeMinutes * 60,
    reserveS: reserveMinutes * 60,
  });
  talk.result(talk.json ? JSON.stringify(report, null, 2) : slotsTable(report, talk));
  if (report.fits) return EXIT.done;
  tellError(refusal(report), talk);
  return EXIT.refused;
}

export const slots: CommandDef = {
  name: 'slots',
  usage: '[report...]',
  summary: 'plan which sheets run in which booked slots, from their reports; what finds no room is told',
  examples: [
    'etchwright slots plates/*.report.json --slots 90,90,60',
    'etchwright slots ferry.report.json --slots 60,60 --reserve 10 --json',
  ],
  configure(command) {
    addFlags(command, flags);
    command.addOption(
      new Option('--slot <minutes>', 'one booked slot, such as 90min or 1.5h; may be given several times')
        .helpGroup('Slots:')
        .argParser((text: string, before: string[] | undefined) => [...(before ?? []), text]),
    );
  },
  run,
};
