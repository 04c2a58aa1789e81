import { type Command, Option } from 'commander';
import { EtchError } from '../core/errors.ts';
import { unlessGiven } from '../job/layers.ts';
import type { Setting } from '../job/settings.ts';

const PLACEHOLDERS: Readonly<Record<string, string>> = {
  mm: '<length>',
  percent: '<percent>',
  degrees: '<deg>',
  minutes: '<minutes>',
  dpi: '<dpi>',
  lpi: '<lpi>',
  ppi: '<ppi>',
};

function placeholder(setting: Setting): string {
  if (setting.type === 'switch') return '';
  if (setting.type === 'list') return ' <list>';
  if (setting.type === 'choice-or-number') return ` <${[...setting.choices, setting.unit ?? 'n'].join('|')}>`;
  if (setting.choices.length > 0)
    return setting.choices.join('|').length > 24 ? ' <kind>' : ` <${setting.choices.join('|')}>`;
  if (setting.unit) return ` ${PLACEHOLDERS[setting.unit] ?? '<n>'}`;
  if (setting.names) return ` <${setting.names}>`;
  return setting.type === 'text' ? ' <text>' : ' <n>';
}

const MILLION = 1e6;

/** A default as people read it: 400 million and not 400000000. */
function showDefault(value: unknown): string {
  if (Array.isArray(value)) return value.join(',');
  const isMillions = typeof value === 'number' && value >= MILLION && value % MILLION === 0;
  return isMillions ? `${value / MILLION} million` : String(value);
}

function describe(setting: Setting, owners: readonly string[]): string {
  const isLong = setting.choices.length > 0 && [' <kind>', ' <list>'].includes(placeholder(setting));
  const choices = isLong ? ` (${setting.choices.join(', ')})` : '';
  const owned = owners.length > 0 ? `${owners.join(', ')}: ` : '';
  const shown = setting.fallback ?? setting.unlessGiven ?? unlessGiven(setting.key);
  const isTold =
    shown !== null && typeof shown !== 'boolean' && !(Array.isArray(shown) && shown.length === 0);
  const fallback = !isTold ? '' : ` [${showDefault(shown)}]`;
  const not = setting.fallback === true ? 'do not ' : '';
  return `${owned}${not}${setting.description}${choices}${fallback}`;
}

const heading = (group: string): string => `${group[0]!.toUpperCase()}${group.slice(1)}:`;

const firstWordsByCommand = new WeakMap<Command, readonly string[]>();

/** `<init|show>` → init, show: words that a usage line offers to choose from. */
const offered = (usage: string): string[] => /^<([a-z]+(?:\|[a-z]+)+)>/.exec(usage)?.[1]?.split('|') ?? [];

/** Remembers what the first argument of a command must be one of, for shells to complete. */
export function offerWords(
  command: Command,
  { usage, firstWords }: { readonly usage: string; readonly firstWords?: readonly string[] },
): void {
  firstWordsByCommand.set(command, firstWords ?? offered(usage));
}

/** What the first argument of a command must be one of; empty where it may be anything. */
export const firstWordsOf = (command: Command): readonly string[] => firstWordsByCommand.get(command) ?? [];

const choicesByOption = new WeakMap<Option, readonly string[]>();

/** What may stand behind a flag, where that is a choice of words; null elsewhere. */
export const choicesOf = (option: Option): readonly string[] | null => choicesByOption.get(option) ?? null;

/** What a flag may name of which somebody who names two means both; of others, the folder for output too, the last counts. */
const FILES = ['file', 'picture', 'curve'];

/** Refuses a second value: the first would be left out without a word. */
const onlyOnce =
  (flag: string, words: string) =>
  (value: string, before: string | undefined): string => {
    if (before === undefined) return value;
    throw new EtchError(
      'usage',
      'named-twice',
      `--${flag} takes one, and is given "${before}" and "${value}"`,
      `Leave one out. It is: ${words}.`,
    );
  };

/** The job file of a command, by what it is there. */
export const jobOption = (words: string): Option =>
  new Option('--job <file>', words).argParser(onlyOnce('job', words)).helpGroup('Job:');

/** Adds a flag for each setting. Commander holds no defaults: what was not typed stays undefined. */
export function addFlags(
  command: Command,
  settings: readonly Setting[],
  ownersOf: (key: string) => readonly string[] = () => [],
): void {
  for (const setting of settings) {
    const option = new Option(
      setting.fallback === true ? `--no-${setting.flag}` : `--${setting.flag}${placeholder(setting)}`,
      describe(setting, ownersOf(setting.key)),
    );
    option.helpGroup(heading(setting.group));
    if (setting.names !== null && FILES.includes(setting.names))
      option.argParser(onlyOnce(setting.flag, setting.description));
    if (setting.choices.length > 0) choicesByOption.set(option, setting.choices);
    command.addOption(option);
  }
}

/** A setting as a command tells it that means something else by it, by the keys of what is told `otherwise`. */
export const toldBy =
  (otherwise: Readonly<Record<string, Partial<Setting>>>) =>
  (setting: Setting): Setting => ({ ...setting, ...otherwise[setting.key] });

/** The name under which commander keeps a flag. */
export const attributeOf = (flag: string): string =>
  flag.replace(/-([a-z])/g, (_, letter: string) => letter.toUpperCase());

/** What was typed on the command line for these settings, by setting key. */
export function typedValues(command: Command, settings: readonly Setting[]): Record<string, unknown> {
  const values: Record<string, unknown> = {};
  for (const { key, flag } of settings) {
    const name = attributeOf(flag);
    if (command.getOptionValueSource(name) === 'cli') values[key] = command.getOptionValue(name);
  }
  return values;
}
