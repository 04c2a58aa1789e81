import { EtchError } from '../core/errors.ts';
import type { Report } from '../report/schema.ts';
import type { RunSettings } from '../run/settings.ts';
import { now, today } from './today.ts';

/** The notebook of a run, where there is one. */
export interface Record {
  /** Its file; null where the run leaves no trace. */
  readonly path: string | null;
  /** Adds what a plate came to. Throws an EtchError of kind 'output' which says that the plate itself is made. */
  add(report: Report, name: string, made: boolean): Promise<void>;
  close(): Promise<void>;
}

const NONE: Record = { path: null, add: async () => undefined, close: async () => undefined };

/** Opens the notebook that is named, or that lies in the working folder, before any work; a dry run leaves no trace. */
export async function openRecord(
  command: string,
  run: Pick<RunSettings, 'dryRun' | 'notebook' | 'note'>,
): Promise<Record> {
  const { draftOf, findNotebook, openNotebook } = await import('../run/notebook.ts');
  const path = await findNotebook(run.notebook);
  if (run.dryRun) return NONE;
  if (path === null) {
    if (run.note === undefined) return NONE;
    throw new EtchError(
      'usage',
      'note-without-notebook',
      '--note is given, but there is no notebook in this folder',
      'Begin one with `etchwright notebook init`, or name one with --notebook.',
    );
  }
  const notebook = await openNotebook(path, now);
  return {
    path,
    async add(report, name, made) {
      try {
        await notebook.add(draftOf(report, { command, name, made, note: run.note, today: today() }));
      } catch (error) {
        if (!made || !(error instanceof EtchError)) throw error;
        const message = `The plate ${name} is made, but not noted. ${error.message}`;
        throw new EtchError('output', error.code, message, error.hint, error);
      }
    },
    close: notebook.close,
  };
}
