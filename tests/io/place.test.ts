import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { placeNew, placeOver, undoPlace } from '../../src/io/place.ts';
import { keyOf } from '../../src/io/same-file.ts';
import { contentsOf, freshFolder } from './file-set-tools.ts';

const folder = freshFolder();
const at = (name: string) => join(folder.path, name);

test('taking back removes our file, and not one that somebody has put there since', async () => {
  writeFileSync(at('part'), 'ours');
  await placeNew(at('part'), at('a.png'));
  const placed = {
    target: at('a.png'),
    key: keyOf(await stat(at('a.png'), { bigint: true })),
    aside: undefined,
  };
  renameSync(at('a.png'), at('ours.png'));
  writeFileSync(at('a.png'), 'theirs');
  await undoPlace(placed);
  expect(readFileSync(at('a.png'), 'latin1')).toBe('theirs');
  renameSync(at('ours.png'), at('a.png'));
  await undoPlace(placed);
  expect(contentsOf(folder.path)).toEqual({});
  // that it is gone already is no fault to be put right by hand
  await expect(undoPlace(placed)).resolves.toBeUndefined();
});

test('placing over keeps the old file aside until it is no longer needed', async () => {
  writeFileSync(at('a.png'), 'old');
  writeFileSync(at('part'), 'new');
  expect(await placeOver(at('part'), at('a.png'), at('aside'))).toEqual({ replaced: true });
  expect(contentsOf(folder.path)).toEqual({ 'a.png': 'new', aside: 'old' });
});
