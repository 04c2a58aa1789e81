import { jobSettings, type Setting, settingsOf } from '../../job/settings.ts';
import { methodSettings, separateSettings } from '../../run/sets/settings.ts';
import { runSchema } from '../../run/settings.ts';
import { toldBy } from '../flags.ts';

/** Settings of a job that a set decides itself, or that belong to single pictures. */
const NOT_OF_SETS = ['controlStrip', 'source', 'whitepointPercent', 'blackpointPercent', 'gamma', 'descreen'];
const OTHERWISE: Readonly<Record<string, Partial<Setting>>> = {
  name: { description: 'stem of the file names; the picture’s own name unless given' },
  out: { description: 'folder for the files' },
  dryRun: { description: 'do everything but write files; the report goes to standard output' },
  proof: { description: 'write proofs of the print after each printing, from the finished plates' },
  jobsheet: { description: 'write the sheet of the set, and the job sheet of each plate' },
  inkColour: { description: 'colour of a plate that has a picture of its own and no ink in --inks' },
  process: { description: 'what the plates are; single ones may be others with --plate-job' },
};
const toldOtherwise = toldBy(OTHERWISE);

const RUN_KEYS_OUT = ['report', 'saveJob', 'curve'];
export const setFlags: readonly Setting[] = settingsOf(separateSettings);
export const methodFlags: readonly Setting[] = settingsOf(methodSettings);
export const jobFlags: readonly Setting[] = jobSettings
  .filter(({ key }) => !NOT_OF_SETS.includes(key))
  .map(toldOtherwise);
export const runFlags: readonly Setting[] = settingsOf(runSchema)
  .filter(({ key }) => !RUN_KEYS_OUT.includes(key))
  .map(toldOtherwise);
