import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { whileLocked } from '../../src/io/folder-lock.ts';
import { newTag, type Owner } from '../../src/io/owner.ts';
import { sweepStale } from '../../src/io/stale.ts';
import { freshFolder } from './file-set-tools.ts';

const folder = freshFolder();
const LOCK = '.etchwright-lock';
const lockPath = (): string => join(folder.path, LOCK);
const DEAD = 4_000_000;
const alive = (pid: number): boolean => pid < DEAD;
const run = (pid: number, isAlive = alive): Owner => ({ hostId: 'bench', pid, isAlive });
const deadTag = (): string => newTag(run(DEAD));

/** An owner who, having judged the lock to be that of a dead run, looks on while another run takes it away and puts up its own. */
function overtakenBy(other: string): Owner {
  let isFirst = true;
  return run(2, (pid) => {
    if (pid === DEAD && isFirst) {
      isFirst = false;
      rmSync(lockPath());
      writeFileSync(lockPath(), other);
    }
    return alive(pid);
  });
}

test('who finds a lock dead leaves alone what another run has put there meanwhile', async () => {
  const order: string[] = [];
  writeFileSync(lockPath(), deadTag());
  const other = newTag(run(1));
  const second = whileLocked([folder.path], overtakenBy(other), async () => void order.push('second'));
  await wait(100);
  expect(readFileSync(lockPath(), 'utf8')).toBe(other);
  order.push('first');
  rmSync(lockPath());
  await second;
  expect(order).toEqual(['first', 'second']);
  expect(readdirSync(folder.path)).toEqual([]);
});

test('a sweep leaves it alone, too', async () => {
  writeFileSync(lockPath(), deadTag());
  const other = newTag(run(1));
  await sweepStale(folder.path, overtakenBy(other));
  expect(readdirSync(folder.path)).toEqual([LOCK]);
  expect(readFileSync(lockPath(), 'utf8')).toBe(other);
});

test('of many runs that meet a dead lock, and the claim of a dead run on it, one at a time works', async () => {
  const tag = deadTag();
  writeFileSync(lockPath(), tag);
  let [within, most, done] = [0, 0, 0];
  const work = async (): Promise<void> => {
    most = Math.max(most, ++within);
    await wait(1);
    within--;
    done++;
  };
  // a run that was killed between claiming the dead lock and removing it
  const ending = createHash('sha256').update(tag).digest('hex').slice(0, 8);
  writeFileSync(`${lockPath()}.${ending}`, newTag(run(DEAD + 1)));
  await Promise.all(Array.from({ length: 12 }, (_, i) => whileLocked([folder.path], run(i + 1), work)));
  expect([most, done]).toEqual([1, 12]);
  expect(readdirSync(folder.path)).toEqual([]);
});

test('claims that killed runs leave are swept; those of living runs are not', async () => {
  writeFileSync(`${lockPath()}.0123abcd`, deadTag());
  writeFileSync(`${lockPath()}.89abcdef`, newTag(run(1)));
  await sweepStale(folder.path, run(2));
  expect(readdirSync(folder.path)).toEqual([`${LOCK}.89abcdef`]);
});
