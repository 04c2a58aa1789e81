import { join } from 'node:path';
import type { FileSet, Slot } from '../../io/atomic.ts';
import type { Looking } from '../../job/proof-settings.ts';

/** The files to look at, by their role in the report, in the order they are made. */
export const LOOKS = {
  proof: { asked: 'proof', ending: 'proof.png', format: 'png' },
  hold: { asked: 'holdmap', ending: 'hold.png', format: 'png' },
  jobsheet: { asked: 'jobsheet', ending: 'jobsheet.html', format: 'html' },
} as const;

type Look = keyof typeof LOOKS;

/** A file to look at, open under its temporary name. */
export interface LookFile {
  readonly look: Look;
  readonly name: string;
  readonly slot: Slot;
}

/** The files that are asked for. */
export const looksOf = (looking: Looking): Look[] =>
  (Object.keys(LOOKS) as Look[]).filter((look) => looking[LOOKS[look].asked]);

/** Opens the files that are asked for, in a folder, under temporary names. */
export async function openLooks(
  set: FileSet,
  folder: string,
  name: string,
  looking: Looking,
): Promise<LookFile[]> {
  const files: LookFile[] = [];
  for (const look of looksOf(looking)) {
    const file = `${name}.${LOOKS[look].ending}`;
    files.push({ look, name: file, slot: await set.add(join(folder, file)) });
  }
  return files;
}
