/** Whose fault it is; the command line turns each into its exit code. */
export type FaultKind = 'usage' | 'input' | 'output' | 'refused' | 'interrupted';

/** An error people are meant to read: what was being done, with which value; `hint` says what to do next. */
export class EtchError extends Error {
  readonly kind: FaultKind;
  /** Stable, for scripts: lower case, words joined by hyphens. */
  readonly code: string;
  readonly hint: string;

  constructor(kind: FaultKind, code: string, message: string, hint: string, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause });
    this.name = 'EtchError';
    this.kind = kind;
    this.code = code;
    this.hint = hint;
  }
}

/** One thing wrong with a job. All of them are gathered before the first is told. */
export interface Problem {
  readonly code: string;
  readonly message: string;
  readonly hint: string;
}

/** All that is wrong with a job, at once; of kind `input` where a file of it could not be read. */
export class JobError extends EtchError {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[], kind: Extract<FaultKind, 'usage' | 'input'> = 'usage') {
    const [first] = problems;
    super(
      kind,
      problems.length === 1 && first ? first.code : 'job-problems',
      problems.map((problem) => problem.message).join('\n'),
      problems.map((problem) => problem.hint).join('\n'),
    );
    this.name = 'JobError';
    this.problems = problems;
  }
}
