import type { Problem } from '../core/errors.ts';
import { flagFor, type Setting } from './settings.ts';

const dashed = (key: string): string => `--${flagFor(key)}`;

/** `--a`, `--a and --b`, `--a, --b and --c`. */
const listed = (words: readonly string[], last: 'and' | 'or'): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1)}`;

/** True for what switches something on: neither absent, nor off, nor none of it. */
const isOn = (value: unknown): boolean =>
  value !== undefined && value !== null && value !== false && value !== 'none' && Number(value) !== 0;

/** That flags have nothing to do: why, and what may be done besides leaving them out. */
export function nothingToDo(code: string, names: readonly string[], why: string, instead: string): Problem {
  const [have, them] = names.length > 1 ? ['have', 'them'] : ['has', 'it'];
  const message = `${why}, so ${listed(names, 'and')} ${have} nothing to do`;
  return { code, message, hint: `Leave ${them} out, or ${instead}.` };
}

/**
 * What was typed and does nothing, since nothing that it is for is asked for: one problem for all flags that are for
 * the same. `settings` are those of the command, `typed` the keys that stand on the command line, `given` what is given
 * there and in files. Of what a setting is for, only what the command has counts.
 */
export function idleProblems(
  settings: readonly Setting[],
  typed: readonly string[],
  given: Readonly<Record<string, unknown>>,
): Problem[] {
  const has = new Set(settings.map(({ key }) => key));
  const idle = new Map<string, { readonly others: readonly string[]; readonly names: string[] }>();
  for (const { key, flag, onlyWith } of settings) {
    const others = onlyWith.filter((other) => has.has(other));
    if (!typed.includes(key) || others.length === 0 || others.some((other) => isOn(given[other]))) continue;
    const alike = idle.get(others.join()) ?? { others: others.map(dashed), names: [] };
    alike.names.push(`--${flag}`);
    idle.set(others.join(), alike);
  }
  return [...idle.values()].map(({ others, names }) => {
    const several = names.length > 1;
    return {
      code: 'nothing-to-do',
      message: `${listed(names, 'and')} ${several ? 'do' : 'does'} nothing without ${listed(others, 'or')}`,
      hint: `Leave ${several ? 'them' : 'it'} out, or give ${others[0]}.`,
    };
  });
}
