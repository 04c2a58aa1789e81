import { dirname, relative, sep } from 'node:path';
import { EtchError } from '../core/errors.ts';
import type { Report } from '../report/schema.ts';
import type { RunFacts } from '../run/records/drafts.ts';
import type { RunSettings } from '../run/settings.ts';
import type { Draft } from '../store/notebook/entry.ts';
import { STDIO } from './stdio.ts';
import { now, today } from './today.ts';

/** The notebook of a run, where there is one. */
export interface Record {
  /** Its file; null where the run leaves no trace. */
  readonly path: string | null;
  /**
   * Adds what a run came to, `what` it made, or read. Throws an EtchError of kind 'output' which says that it is made
   * nevertheless.
   */
  add(
    what: string,
    run: Pick<RunFacts, 'name' | 'made'> & { readonly picture?: string | null; readonly isRead?: boolean },
    draft: (run: RunFacts) => Draft | Promise<Draft>,
  ): Promise<void>;
  /** Adds a plate of the picture that lies there. */
  addPlate(report: Report, name: string, made: boolean, picture: string | null): Promise<void>;
  close(): Promise<void>;
}

const nothing = async (): Promise<void> => undefined;
const NONE: Record = { path: null, add: nothing, addPlate: nothing, close: nothing };

/** Opens the notebook that is named, or that lies in the working folder, before any work; a dry run leaves no trace. */
export async function openRecord(
  command: string,
  settings: Pick<RunSettings, 'dryRun' | 'notebook' | 'note'>,
): Promise<Record> {
  const { findNotebook, openNotebook } = await import('../run/records/notebook.ts');
  const path = await findNotebook(settings.notebook);
  if (settings.dryRun) return NONE;
  if (path === null) {
    if (settings.note === undefined) return NONE;
    throw new EtchError(
      'usage',
      'note-without-notebook',
      '--note is given, but there is no notebook in this folder',
      'Begin one with `etchwright notebook init`, or name one with --notebook.',
    );
  }
  const { plateDraft } = await import('../run/records/drafts.ts');
  const notebook = await openNotebook(path, now);
  const { note } = settings;
  /** Where a picture lies, from the notebook, the same on every system. */
  const fromHere = (picture: string | null): string | null =>
    picture === null || picture === STDIO ? null : relative(dirname(path), picture).split(sep).join('/');
  const add: Record['add'] = async (what, { name, made, picture = null, isRead = false }, draft) => {
    try {
      const picturePath = fromHere(picture);
      await notebook.add(await draft({ command, name, made, note, today: today(), picturePath }));
    } catch (error) {
      if (!(made || isRead) || !(error instanceof EtchError)) throw error;
      const message = `${what} ${name} is ${isRead ? 'read' : 'made'}, but not noted. ${error.message}`;
      if (isRead)
        throw new EtchError('output', error.code, message, 'Once that is mended, read it again.', error);
      // what that error says of files that nothing happened to would be read as of those just made
      const hint = 'Its files are whole. Once that is mended, make it again with --overwrite for an entry.';
      throw new EtchError('output', error.code, message, hint, error);
    }
  };
  return {
    path,
    add,
    addPlate: (report, name, made, picture) =>
      add('The plate', { name, made, picture }, (run) => plateDraft(report, run)),
    close: notebook.close,
  };
}
