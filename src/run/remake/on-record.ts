import type { RunEntry } from '../../store/notebook/entry.ts';
import { pagesOf } from '../records/notebook.ts';

type EntryOf<Kind extends RunEntry['kind']> = Extract<RunEntry, { kind: Kind }>;

/**
 * The first entry of a kind that a notebook has of something, where the record was changed since and the notebook may know
 * better; null where there is none.
 */
export async function entryOnRecord<Kind extends RunEntry['kind']>(
  notebook: string | null,
  kind: Kind,
  isIt: (entry: EntryOf<Kind>) => boolean,
): Promise<EntryOf<Kind> | null> {
  if (notebook === null) return null;
  const isOfKind = (entry: RunEntry): entry is EntryOf<Kind> => entry.kind === kind;
  for await (const { entry } of pagesOf(notebook, () => undefined))
    if (isOfKind(entry) && isIt(entry)) return entry;
  return null;
}
