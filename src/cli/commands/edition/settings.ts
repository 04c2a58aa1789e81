import { settingsOf } from '../../../job/settings.ts';
import { type EditionSettings, editionSettings } from '../../../run/records/edition-settings.ts';
import { type RunSettings, runSchema } from '../../../run/settings.ts';
import type { Call as ActionCall } from '../../actions.ts';

const ownFlags = settingsOf(editionSettings);
const runFlags = settingsOf(runSchema)
  .filter(({ key }) => ['out', 'format', 'overwrite'].includes(key))
  .map((setting) => ({
    ...setting,
    ...(setting.key === 'out' ? { description: 'folder for the files' } : {}),
  }));
export const flags = [...ownFlags, ...runFlags];

export type Settings = EditionSettings & Pick<RunSettings, 'out' | 'format' | 'overwrite'>;

export type Call = ActionCall<Settings>;
