import type { CommanderError } from 'commander';
import { EtchError } from '../core/errors.ts';

type Words = readonly [complaint: RegExp, say: (...found: string[]) => string];

/** Commander's complaints (version 14), said in our way; what it suggests is read apart. */
const COMPLAINTS: readonly Words[] = [
  [/^unknown option '(.+)'$/, (option) => `There is no option ${option}`],
  [/^unknown command '(.+)'$/, (name) => `There is no command ${name}`],
  [/^option '(?:-\w, )?(--\S+) (<.+>)' argument missing$/, (flag, what) => `${flag} wants a value: ${what}`],
  [/^missing required argument '(.+)'$/, (what) => `Nothing is given for <${what}>`],
  [/^too many arguments for '(.+)'\. Expected (\d+) .* but got (\d+)\.$/, tooMany],
];

function tooMany(name: string, wanted: string, got: string): string {
  return `${name} takes ${wanted} ${wanted === '1' ? 'word' : 'words'}, but ${got} are given`;
}

function inOurWords(complaint: string): string {
  for (const [pattern, say] of COMPLAINTS) {
    const found = pattern.exec(complaint);
    if (found) return say(...found.slice(1));
  }
  return complaint;
}

/** Turns a complaint of commander's into one of ours: one line, and the help that knows more. */
export function usageError(error: CommanderError, command: string | null): EtchError {
  const text = error.message.replace(/^error: /, '');
  const [complaint = '', suggestion] = text.split(/\n\((Did you mean .+\?)\)$/);
  const help = ['etchwright', ...(command === null ? [] : [command]), '--help'].join(' ');
  return new EtchError(
    'usage',
    error.code.replace(/^commander\./, '').replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`),
    inOurWords(complaint),
    suggestion ?? `See \`${help}\`.`,
  );
}
