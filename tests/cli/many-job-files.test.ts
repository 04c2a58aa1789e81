/** More job files than a system lets one process have open. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { freshPlace, shell } from './run-cli.ts';

const place = freshPlace();

test('each is read, and its own picture is told', async () => {
  const files = Array.from({ length: 200 }, (_, i) => `j${i}.json`);
  for (const file of files)
    writeFileSync(
      join(place.path, file),
      JSON.stringify({ picture: 'none.png', process: 'relief', widthMm: 20 }),
    );
  const run = await shell(place, 'ulimit -n 100; etch batch j*.json --dry-run --workers 1 --json');
  expect(run.code, run.err).toBe(6);
  const { plates } = JSON.parse(run.out);
  expect(plates).toHaveLength(files.length);
  const codes = new Set(
    plates.flatMap(({ problems }: { problems: { code: string }[] }) => problems.map(({ code }) => code)),
  );
  expect([...codes]).toEqual(['picture-not-found']);
});
