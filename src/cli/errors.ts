import { EtchError, JobError } from '../core/errors.ts';
import { oneLine, shortened } from './shown.ts';
import type { Talk } from './talk.ts';

/** Nobody mends more at once. */
const MOST_PROBLEMS = 200;

/** One line: what was being done, with which value; the next: what to do. */
export function tellError(error: unknown, talk: Talk): void {
  if (talk.json) {
    talk.alert(JSON.stringify({ error: errorObject(error) }));
    return;
  }
  if (error instanceof JobError) {
    for (const { message, hint } of error.problems.slice(0, MOST_PROBLEMS))
      talk.alert(`${talk.paint.red('etchwright:')} ${sentence(message)} ${told(hint)}`);
    const more = error.problems.length - MOST_PROBLEMS;
    if (more > 0) talk.alert(`${talk.paint.red('etchwright:')} and ${more} more like these.`);
  } else if (error instanceof EtchError)
    talk.alert(`${talk.paint.red('etchwright:')} ${sentence(error.message)} ${told(error.hint)}`);
  else
    talk.alert(
      `${talk.paint.red('etchwright:')} this is our fault: ${(error as Error).stack ?? String(error)}\nPlease report it with the command you gave.`,
    );
}

const told = (text: string): string => oneLine(shortened(text));
const sentence = (text: string): string => (/[.!?]$/.test(text) ? told(text) : `${told(text)}.`);

export function errorObject(error: unknown): Record<string, unknown> {
  if (error instanceof JobError)
    return { code: error.code, message: error.message, hint: error.hint, problems: error.problems };
  if (error instanceof EtchError) return { code: error.code, message: error.message, hint: error.hint };
  return {
    code: 'our-fault',
    message: (error as Error).message ?? String(error),
    hint: 'Please report it with the command you gave.',
  };
}
