import type { Command } from 'commander';
import { EtchError, JobError, type Problem } from '../core/errors.ts';
import type { Setting } from '../job/settings.ts';
import { attributeOf } from './flags.ts';
import { resolveSettings } from './settle.ts';
import type { Talk } from './talk.ts';

/** What an action of a command is run with. */
export interface Call<Settings> {
  readonly words: readonly string[];
  readonly settings: Settings;
  readonly talk: Talk;
  readonly signal: AbortSignal;
}

/** One thing that a command with several can do; `usage` is what stands after its name. */
export interface Action<Settings> {
  readonly usage: string;
  /** Fewest and most words behind its name. */
  readonly words: readonly [least: number, most: number];
  /** Keys of the flags it takes, besides those that all take. */
  readonly takes: readonly string[];
  run(call: Call<Settings>): Promise<void>;
}

interface Actions<Settings> {
  /** The command they belong to. */
  readonly command: string;
  readonly actions: Readonly<Record<string, Action<Settings>>>;
  readonly flags: readonly Setting[];
  /** Keys of the flags that every action takes. */
  readonly shared: readonly string[];
}

function wrongWith<Settings>(
  { command: name, actions, flags, shared }: Actions<Settings>,
  called: string,
  words: readonly string[],
  command: Command,
): Problem[] {
  const {
    usage,
    takes,
    words: [least, most],
  } = actions[called]!;
  const problems: Problem[] = [];
  if (words.length < least || words.length > most)
    problems.push({
      code: 'wrong-number-of-words',
      message: `${name} ${called} is given ${words.length} ${words.length === 1 ? 'word' : 'words'} more`,
      hint: `Write it as \`${`etchwright ${name} ${called} ${usage}`.trim()}\`.`,
    });
  for (const { key, flag } of flags) {
    if (shared.includes(key) || takes.includes(key)) continue;
    if (command.getOptionValueSource(attributeOf(flag)) !== 'cli') continue;
    const owners = Object.keys(actions).filter((other) => actions[other]!.takes.includes(key));
    problems.push({
      code: 'flag-of-another-action',
      message: `${name} ${called} takes no --${flag}`,
      hint: `Leave it out. It belongs to ${owners.join(' and ')}.`,
    });
  }
  return problems;
}

/** Runs the action that the first word names. All that is wrong with its words and flags is told at once. */
export async function runAction<Settings>(
  all: Actions<Settings>,
  [called = '', ...words]: readonly string[],
  command: Command,
  talk: Talk,
  signal: AbortSignal,
): Promise<void> {
  const action = Object.hasOwn(all.actions, called) ? all.actions[called]! : null;
  if (action === null)
    throw new EtchError(
      'usage',
      'unknown-action',
      `${all.command} cannot "${called}"`,
      `Say one of: ${Object.keys(all.actions).join(', ')}.`,
    );
  const { values, problems } = resolveSettings(command, all.flags);
  const told = [...wrongWith(all, called, words, command), ...problems];
  if (told.length > 0) throw new JobError(told);
  await action.run({ words, settings: values as Settings, talk, signal });
}
