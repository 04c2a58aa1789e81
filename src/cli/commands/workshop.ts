import { EtchError } from '../../core/errors.ts';
import { settingsOf } from '../../job/settings.ts';
import { describeWorkshop } from '../../job/workshop-start.ts';
import { runSchema } from '../../run/settings.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { loadWorkshop, resolveSettings } from '../settle.ts';
import type { CommandDef } from './contract.ts';

const flags = settingsOf(runSchema).filter(({ key }) => ['workshop', 'out', 'overwrite'].includes(key));

export const workshop: CommandDef = {
  name: 'workshop',
  usage: '<init|show>',
  summary: 'init: write a starting workshop file; show: what is in force, and where each value comes from',
  examples: ['etchwright workshop init', 'etchwright workshop show --json'],
  configure: (command) => addFlags(command, flags),
  async run([action], command, talk) {
    const { values } = resolveSettings(command, flags);
    const {
      out,
      overwrite,
      workshop: given,
    } = values as { out: string; overwrite: boolean; workshop?: string };
    if (action === 'init') {
      const { initWorkshop } = await import('../../run/workshop-file.ts');
      const written = await initWorkshop(out, { owner: thisRun(), overwrite });
      talk.result(talk.json ? JSON.stringify({ written }) : written.join('\n'));
      talk.say(
        'Fill in what you know and what test plates tell; what is left out is from memory. See `etchwright workshop show`.',
      );
      return EXIT.done;
    }
    if (action !== 'show')
      throw new EtchError('usage', 'unknown-action', `workshop cannot "${action}"`, 'Say init or show.');
    const { workshop: known, workshopFile } = await loadWorkshop(given);
    const rows = describeWorkshop(known?.workshop ?? null);
    if (talk.json) talk.result(JSON.stringify({ file: workshopFile, values: rows }, null, 2));
    else {
      const width = Math.max(...rows.map(({ what }) => what.length)) + 2;
      const value = Math.max(...rows.map(({ value }) => value.length)) + 2;
      const lines = rows.map((row) => `${row.what.padEnd(width)}${row.value.padEnd(value)}${row.origin}`);
      talk.result([workshopFile ?? 'no workshop file: what is taken for granted', ...lines].join('\n'));
    }
    return EXIT.done;
  },
};
