import type { Problem } from '../core/errors.ts';
import { flagFor, type Setting } from './settings.ts';

const dashed = (key: string): string => `--${flagFor(key)}`;

/** `--a`, `--a and --b`, `--a, --b and --c`. */
export const listed = (words: readonly string[], last: 'and' | 'or'): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1)}`;

/** True for what switches something on: neither absent, nor off, nor none of it. */
const isOn = (value: unknown): boolean =>
  value !== undefined && value !== null && value !== false && value !== 'none' && Number(value) !== 0;

/**
 * What was typed and does nothing, since nothing that it is for is asked for: one problem for all flags that are for
 * the same. `settings` are those of the command, `typed` the keys that stand on the command line, `given` what is given
 * there and in files.
 */
export function idleProblems(
  settings: readonly Setting[],
  typed: readonly string[],
  given: Readonly<Record<string, unknown>>,
): Problem[] {
  const idle = new Map<string, Setting[]>();
  for (const setting of settings) {
    const { key, onlyWith } = setting;
    if (!typed.includes(key) || onlyWith.length === 0 || onlyWith.some((other) => isOn(given[other])))
      continue;
    idle.set(onlyWith.join(), [...(idle.get(onlyWith.join()) ?? []), setting]);
  }
  return [...idle.values()].map((flags) => {
    const others = flags[0]!.onlyWith.map(dashed);
    const several = flags.length > 1;
    const names = flags.map(({ flag }) => `--${flag}`);
    return {
      code: 'nothing-to-do',
      message: `${listed(names, 'and')} ${several ? 'do' : 'does'} nothing without ${listed(others, 'or')}`,
      hint: `Leave ${several ? 'them' : 'it'} out, or give ${others[0]}.`,
    };
  });
}
