import { mkdirSync, readdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { type Owner, oldName, partName, scratchPrefix } from '../../src/io/owner.ts';
import { scratchFolder, sweepStale, sweepStaleScratch } from '../../src/io/stale.ts';
import { contentsOf, faultOf, freshFolder, laterRun, owner } from './file-set-tools.ts';

const folder = freshFolder();
const put = (name: string, text = name) => writeFileSync(join(folder.path, name), text);
const tagOf = (of: Owner, ending = '0123abcd') => scratchPrefix(of) + ending;

const dead: Owner = { hostId: 'bench', pid: 4_000_000, isAlive: () => false };
const elsewhere: Owner = { ...dead, hostId: 'another bench' };
const DAY_MS = 24 * 3600 * 1000;
const inDays = (days: number) => Date.now() + days * DAY_MS;

describe('sweepStale', () => {
  test('removes the temporaries of dead runs, and nothing of living ones or of people', async () => {
    const kept = [
      partName('a.png', tagOf(owner)),
      partName('a.png', tagOf(laterRun)),
      partName('a.png', tagOf(elsewhere)),
      'a.png',
      `a.png.${tagOf(dead)}.part`,
      `.a.png.${tagOf(dead)}.part.txt`,
      `.${tagOf(dead)}.part`,
      '.a.png.part',
    ];
    for (const name of kept) put(name);
    const gone = partName('a\nb.png', tagOf(dead));
    put(gone);
    const sweeper: Owner = { ...laterRun, isAlive: (pid) => pid === owner.pid };
    expect(await sweepStale(folder.path, sweeper)).toEqual({
      removed: [join(folder.path, gone)],
      restored: [],
    });
    expect(readdirSync(folder.path).sort()).toEqual(kept.toSorted());
  });

  test('after seven days also those of other hosts and of process numbers in use again', async () => {
    put(partName('a.png', tagOf(elsewhere)));
    put(partName('b.png', tagOf(owner)));
    await sweepStale(folder.path, owner, inDays(6.9));
    expect(readdirSync(folder.path)).toHaveLength(2);
    await sweepStale(folder.path, owner, inDays(7.1));
    expect(readdirSync(folder.path)).toEqual([]);
  });

  test('puts an old file back where its place is empty; drops it where the new file stands', async () => {
    put(oldName('gone.png', tagOf(dead)), 'old');
    put(oldName('there.png', tagOf(dead)), 'old');
    put('there.png', 'new');
    const swept = await sweepStale(folder.path, laterRun);
    expect(swept.restored).toEqual([join(folder.path, 'gone.png')]);
    expect(contentsOf(folder.path)).toEqual({ 'gone.png': 'old', 'there.png': 'new' });
  });

  test('leaves folders and links that bear such a name alone', async () => {
    put('precious');
    mkdirSync(join(folder.path, partName('dir', tagOf(dead))));
    symlinkSync('precious', join(folder.path, partName('link', tagOf(dead))));
    expect((await sweepStale(folder.path, laterRun)).removed).toEqual([]);
    expect(readdirSync(folder.path)).toHaveLength(3);
  });

  test('a folder that is not there is swept already', async () => {
    expect(await sweepStale(join(folder.path, 'none'), laterRun)).toEqual({ removed: [], restored: [] });
  });
});

describe('scratch folders', () => {
  test('are swept with all in them once their run is dead; others stay', async () => {
    const mine = await scratchFolder(owner, folder.path);
    const left = await scratchFolder(dead, folder.path);
    const theirs = await scratchFolder(elsewhere, folder.path);
    writeFileSync(join(left, 'grey.v'), 'rows');
    mkdirSync(join(folder.path, 'etchwright-notes'));
    put(basename(left).replace(/.{6}$/, 'AAAAAA')); // a file, not a folder
    const sweeper: Owner = { ...laterRun, isAlive: (pid) => pid === owner.pid };
    expect(await sweepStaleScratch(sweeper, folder.path)).toEqual([left]);
    expect(readdirSync(folder.path)).toEqual(expect.arrayContaining([basename(mine), basename(theirs)]));
    expect(await sweepStaleScratch(sweeper, folder.path, inDays(8))).toHaveLength(2);
    expect(readdirSync(folder.path)).toHaveLength(2);
  });

  test('lie in the temporary folder unless told otherwise, and say so if they cannot be made', async () => {
    const made = await scratchFolder(dead);
    expect(made.startsWith(join(tmpdir(), scratchPrefix(dead)))).toBe(true);
    expect(await sweepStaleScratch(laterRun)).toContain(made);
    const fault = await faultOf(scratchFolder(owner, join(folder.path, 'none')));
    expect(fault.message).toContain(join(folder.path, 'none'));
  });
});
