import { join } from 'node:path';
import { expect, test } from 'vitest';
import { thisRun } from '../../src/cli/owner.ts';
import { openRecord } from '../../src/cli/record.ts';
import { EtchError } from '../../src/core/errors.ts';
import { initNotebook } from '../../src/run/records/notebook.ts';
import { freshPlace } from './run-cli.ts';

const place = freshPlace();

test.each([
  ['a plate that was made', { made: true }, /^The run a is made, but not noted\. Writing it failed/],
  ['a strip that holds', { made: true, isRead: true }, /^The run a is read, but not noted\./],
  ['a strip that drifted', { made: false, isRead: true }, /^The run a is read, but not noted\./],
  ['a plate that was refused', { made: false }, /^Writing it failed/],
])('what cannot be noted of %s', async (_, run, message) => {
  const notebook = join(place.path, 'n.jsonl');
  await initNotebook(notebook, thisRun());
  const record = await openRecord('calibrate', { dryRun: false, notebook, note: undefined });
  const fails = () => {
    throw new EtchError('output', 'no-space', 'Writing it failed', 'Make room.');
  };
  await expect(record.add('The run', { name: 'a', ...run }, fails)).rejects.toThrow(message);
  await record.close();
});
