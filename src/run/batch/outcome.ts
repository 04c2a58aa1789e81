import { EtchError, type FaultKind, JobError, type Problem } from '../../core/errors.ts';
import type { BatchPlate } from '../../report/batch/schema.ts';
import { reasonsAgainst } from '../../report/cautions/index.ts';
import type { Report } from '../../report/schema.ts';
import type { Entry } from './entries.ts';

/** What became of one entry. */
export interface Outcome {
  readonly entry: Entry;
  readonly outcome: BatchPlate['outcome'];
  readonly problems: readonly Problem[];
  /** Whose fault it is that there is no plate; null where there is one, or where the fault is ours. */
  readonly kind: FaultKind | null;
  /** True where the program itself broke. */
  readonly isOurs: boolean;
  readonly report: Report | null;
  /** A small picture of the print, as a data URI. */
  readonly picture: string | null;
  readonly olderFiles: readonly string[];
}

const NOTHING = { report: null, picture: null, olderFiles: [], isOurs: false } as const;

/** An entry whose row is wrong, or whose picture is not there. */
export const wrongRow = (
  entry: Entry,
  problems: readonly Problem[],
  kind: 'usage' | 'input' = 'usage',
): Outcome => ({
  ...NOTHING,
  entry,
  outcome: 'failed',
  problems,
  kind,
});

const problemsOf = (error: EtchError): readonly Problem[] =>
  error instanceof JobError
    ? error.problems
    : [{ code: error.code, message: error.message.replace(/\.$/, ''), hint: error.hint }];

/** An entry whose plate could not be made; what is no error of ours to tell is a fault of the program. */
export function failed(entry: Entry, error: unknown): Outcome {
  const told = { ...NOTHING, entry, outcome: 'failed' as const };
  if (error instanceof EtchError) return { ...told, problems: problemsOf(error), kind: error.kind };
  const message = `This is our fault: ${(error as Error).message ?? String(error)}`;
  const problem = { code: 'our-fault', message, hint: 'Please report it with the command you gave.' };
  return { ...told, problems: [problem], kind: null, isOurs: true };
}

/** An entry whose plate a caution forbids. */
export function refused(entry: Entry, report: Report, strict: boolean): Outcome {
  const problems = reasonsAgainst(report.cautions, strict).map(({ code, text, cure }) => ({
    code,
    message: text,
    hint: cure,
  }));
  return { ...NOTHING, entry, outcome: 'refused', problems, kind: 'refused', report };
}

export const made = (
  entry: Entry,
  outcome: 'made' | 'kept',
  report: Report,
  picture: string | null,
): Outcome => ({ ...NOTHING, entry, outcome, problems: [], kind: null, report, picture });

/** Page beside the plates that says what to mend. */
export const mendName = (name: string): string => `${name}.mend.html`;

/** A page helps where picture or row can be mended; not where the disk is full, or where we are at fault. */
export const wantsPage = ({ kind }: Outcome): boolean =>
  kind === 'input' || kind === 'usage' || kind === 'refused';

/** As the report of the batch holds it. */
export function plateOf(outcome: Outcome, folder: 'written' | 'nowhere'): BatchPlate {
  const { entry, report } = outcome;
  const { row, line, picture, called, name } = entry;
  const isWritten = folder === 'written' && (outcome.outcome === 'made' || outcome.outcome === 'kept');
  return {
    ...{ row, line, picture, called, name, outcome: outcome.outcome, problems: [...outcome.problems] },
    mendPage: folder === 'written' && wantsPage(outcome) ? mendName(name) : null,
    olderFiles: [...outcome.olderFiles],
    plate: report && {
      input: report.input,
      plate: report.plate,
      screen: report.screen,
      coverage: report.coverage,
      passes: report.passes,
      time: report.time,
      curve: report.curve,
      files: report.files,
      bitsSha256: report.bitsSha256,
      cautions: report.cautions,
      report: isWritten ? `${name}.report.json` : null,
    },
  };
}
