import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import type { JobError } from '../../src/core/errors.ts';
import { readWorkshop } from '../../src/run/workshop-file.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

test('a name that stands twice in one list is told, as only the first could be chosen', async () => {
  const path = join(folder, 'w.json');
  const twice = { machines: [{ id: 'big' }, { id: 'small' }, { id: 'big', spotMm: 0.2 }] };
  writeFileSync(path, JSON.stringify({ version: 1, name: 'Ennerby Quay', ...twice, presses: [] }));
  const error = await readWorkshop(path).then(
    () => null,
    (thrown: JobError) => thrown,
  );
  expect(error?.problems.map(({ message }) => message)).toEqual([
    `${path}, machines "big" stands there twice`,
  ]);
});
