import { EtchError } from '../core/errors.ts';

/** The system's short name for what went wrong (ENOSPC, EACCES …), or '' if it gave none. */
export function systemCode(cause: unknown): string {
  const code: unknown = cause instanceof Error && 'code' in cause ? cause.code : '';
  return typeof code === 'string' ? code : '';
}

interface Reason {
  readonly code: string;
  readonly reason: string;
  readonly hint: string;
}

const MAKE_ROOM = 'Make room, or choose a folder on another disk; nothing has been changed.';
const ASK_FOR_RIGHTS = 'Choose a folder you may write to, or ask whoever looks after this one.';
const CHECK_PATH = 'Check the path, then run it again.';

const noSpace = (reason: string): Reason => ({ code: 'no-space', reason, hint: MAKE_ROOM });
const denied = (reason: string): Reason => ({ code: 'output-denied', reason, hint: ASK_FOR_RIGHTS });
const failed = (reason: string, hint = CHECK_PATH): Reason => ({ code: 'output-failed', reason, hint });

// Names and meanings: POSIX.1-2017, System Interfaces 2.3.
const REASONS: Readonly<Record<string, Reason>> = {
  ENOSPC: noSpace('there is no space left on the disk'),
  EDQUOT: noSpace('there is no space left in your share of the disk (quota)'),
  EFBIG: noSpace('there is no space for a file this large (limit of the disk or of your account)'),
  EACCES: denied('permission is missing'),
  EPERM: denied('the system does not permit it'),
  EROFS: denied('the disk is read-only'),
  ENOENT: failed('a folder or file on the way is not there'),
  ENOTDIR: failed('a part of the path is a file, not a folder'),
  ENAMETOOLONG: failed('the name is too long', 'Give a shorter name.'),
  ELOOP: failed('links on the way lead round in a circle'),
  EIO: failed('the disk reported a fault', 'Write to another disk and have this one looked at.'),
  EMFILE: failed('too many files are open', 'Do fewer things at once, then run it again.'),
};

/** A refusal to write a file: the path as it was given, why not, and what to do. */
export function refusal(
  code: string,
  path: string,
  reason: string,
  hint: string,
  cause?: unknown,
): EtchError {
  return new EtchError('output', code, `Writing "${path}": ${reason}.`, hint, cause);
}

const reasonOf = (cause: unknown): Reason =>
  REASONS[systemCode(cause)] ?? failed(cause instanceof Error ? cause.message : String(cause));

/** Turns whatever the system threw while writing `path` into an error people can read. */
export function outputError(path: string, cause: unknown): EtchError {
  if (cause instanceof EtchError) return cause;
  const { code, reason, hint } = reasonOf(cause);
  return refusal(code, path, reason, hint, cause);
}

/** The same of the temporary folder, which nobody has named: its own name alone would lead nowhere. */
export function scratchError(path: string, cause: unknown): EtchError {
  const { code, reason } = reasonOf(cause);
  return new EtchError(
    'output',
    code,
    `Making a folder in the temporary folder "${path}": ${reason}.`,
    'Make room there, or set TMPDIR (on Windows TEMP) to a folder that you may write to.',
    cause,
  );
}
