/**
 * The moments between two steps of a commit, one by one: the run dies there, or the step there fails.
 * Stands in for real kills (atomic-kill.test.ts), which cannot be aimed.
 */
import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test, vi } from 'vitest';
import { EtchError } from '../../src/core/errors.ts';
import { openFileSet } from '../../src/io/atomic.ts';
import { sweepStale } from '../../src/io/stale.ts';
import { bytes, contentsOf, faultOf, freshFolder, laterRun, owner } from './file-set-tools.ts';

const disk = vi.hoisted(() => ({
  hasLinks: true,
  takesPieces: Number.POSITIVE_INFINITY,
  /** Steps that change the disk, in the order they were asked for. */
  steps: [] as string[],
  failsAt: Number.POSITIVE_INFINITY,
  diesAt: Number.POSITIVE_INFINITY,
}));

vi.mock('node:fs/promises', async (importOriginal) => {
  const real = await importOriginal<typeof import('node:fs/promises')>();
  const fault = (code: string) => Object.assign(new Error(code), { code });
  const step =
    <A extends unknown[], R>(name: string, work: (...args: A) => Promise<R>) =>
    async (...args: A): Promise<R> => {
      disk.steps.push(name);
      if (disk.steps.length - 1 >= disk.diesAt) throw fault('EIO');
      if (disk.steps.length - 1 === disk.failsAt) throw fault('EIO');
      if (name === 'link' && !disk.hasLinks) throw fault('EPERM'); // what Linux says on FAT, link(2)
      return await work(...args);
    };
  const open: typeof real.open = async (...args) => {
    const handle = await real.open(...args);
    handle.sync = step('sync', handle.sync.bind(handle));
    const writev = handle.writev.bind(handle);
    handle.writev = async (pieces, ...rest) => {
      if (pieces.length <= disk.takesPieces) return await writev(pieces, ...rest);
      const first = pieces.slice(0, disk.takesPieces + 1) as Uint8Array[];
      first.push(first.pop()!.subarray(0, 1));
      const { bytesWritten } = await writev(first);
      return { bytesWritten, buffers: pieces };
    };
    return handle;
  };
  return {
    ...real,
    open: step('open', open),
    writeFile: step('writeFile', real.writeFile),
    link: step('link', real.link),
    rename: step('rename', real.rename),
    unlink: step('unlink', real.unlink),
    rm: step('rm', real.rm),
    mkdir: step('mkdir', real.mkdir),
    rmdir: step('rmdir', real.rmdir),
  };
});

const folder = freshFolder();
const OLD = { 'a.png': 'old a', 'b.png': 'old b' };

/** Writes a set of three files, of which two may be there already; the disk misbehaves as told. */
async function run(overwrite: boolean, trouble: Partial<typeof disk>) {
  rmSync(folder.path, { recursive: true, force: true });
  mkdirSync(folder.path);
  for (const [name, text] of Object.entries(OLD)) if (overwrite) writeFileSync(join(folder.path, name), text);
  const before = contentsOf(folder.path);
  const after = { 'a.png': 'new a.png', 'b.png': 'new b.png', 'dir/c.json': 'new dir/c.json' };
  Object.assign(disk, {
    failsAt: Number.POSITIVE_INFINITY,
    diesAt: Number.POSITIVE_INFINITY,
    ...trouble,
    steps: [],
  });
  const set = openFileSet({ owner, protect: [], overwrite });
  let fault: unknown;
  try {
    for (const name of Object.keys(after))
      await (await set.add(join(folder.path, name))).write(bytes(`new ${name}`));
    await set.commit();
  } catch (cause) {
    fault = cause;
    await set.abandon();
  }
  const steps = disk.steps;
  Object.assign(disk, { failsAt: Number.POSITIVE_INFINITY, diesAt: Number.POSITIVE_INFINITY });
  return { before, after, fault, steps };
}

const cases = [true, false].flatMap((hasLinks) =>
  [true, false].map((overwrite) => ({ hasLinks, overwrite })),
);

describe.each(cases)('hard links $hasLinks, overwrite $overwrite', ({ hasLinks, overwrite }) => {
  test('all goes well without trouble', async () => {
    const { fault, after } = await run(overwrite, { hasLinks });
    expect(fault).toBeUndefined();
    expect(contentsOf(folder.path)).toEqual(after);
  });

  test('killed before any step: old whole or new whole, and a sweep leaves nothing else', async () => {
    const { steps } = await run(overwrite, { hasLinks });
    expect(steps.length).toBeGreaterThan(15);
    for (let diesAt = 0; diesAt < steps.length; diesAt++) {
      const { before, after } = await run(overwrite, { hasLinks, diesAt });
      const place = `killed before step ${diesAt} (${steps[diesAt]})`;
      const whole = (name: string, text: string) =>
        expect([before[name], after[name as keyof typeof after]], `${place}: ${name}`).toContain(text);
      const atOnce = contentsOf(folder.path);
      for (const [name, text] of Object.entries(atOnce))
        if (!name.includes('.etchwright-')) whole(name, text);
      // Only without hard links may an old file be out of its place, and then it is whole beside it.
      if (hasLinks) for (const name of Object.keys(before)) expect(atOnce, place).toHaveProperty([name]);
      await sweepStale(folder.path, laterRun);
      await sweepStale(join(folder.path, 'dir'), laterRun);
      const swept = contentsOf(folder.path);
      for (const [name, text] of Object.entries(swept)) whole(name, text);
      expect(Object.keys(swept), place).toEqual(expect.arrayContaining(Object.keys(before)));
    }
  });

  test('a step that fails: all new, or an error and all as before', async () => {
    const { steps } = await run(overwrite, { hasLinks });
    let failures = 0;
    for (let failsAt = 0; failsAt < steps.length; failsAt++) {
      const { before, after, fault } = await run(overwrite, { hasLinks, failsAt });
      const place = `step ${failsAt} (${steps[failsAt]}) failed`;
      const tidies = ['rm', 'unlink', 'rmdir'].includes(steps[failsAt]!);
      if (fault && !tidies) expect(contentsOf(folder.path), place).toEqual(before);
      // A step that only tidies up may leave a file for the sweep.
      await sweepStale(folder.path, laterRun);
      await sweepStale(join(folder.path, 'dir'), laterRun);
      expect(contentsOf(folder.path), place).toEqual(fault ? before : after);
      if (!fault) continue;
      failures++;
      expect(fault, place).toBeInstanceOf(EtchError);
      expect(readdirSync(folder.path), place).not.toContain('dir');
    }
    expect(failures).toBeGreaterThan(8);
  });

  test.runIf(overwrite)('an old file that will not go back is named in the error', async () => {
    const { steps } = await run(overwrite, { hasLinks });
    const lastRename = steps.lastIndexOf(hasLinks ? 'link' : 'rename'); // dir/c.json going in
    const { fault } = await run(overwrite, { hasLinks, diesAt: lastRename });
    const { message } = await faultOf(Promise.reject(fault));
    const asides = readdirSync(folder.path).filter((name) => name.endsWith('.old'));
    expect(asides).toHaveLength(2);
    expect(
      asides.some((name) => message.includes(name)),
      message,
    ).toBe(true);
  });
});

test('a disk that takes a part at a time gets the rest', async () => {
  disk.takesPieces = 1;
  const set = openFileSet({ owner, protect: [], overwrite: false });
  const words = ['one', 'two', '', 'three', 'four', 'x', 'five'];
  await (await set.add(join(folder.path, 'a.txt'))).write(words.flatMap(bytes));
  await set.commit();
  disk.takesPieces = Number.POSITIVE_INFINITY;
  expect(contentsOf(folder.path)).toEqual({ 'a.txt': words.join('') });
});

test('all bytes are on the disk before the first name appears, and the names before old files go', async () => {
  const { steps } = await run(true, { hasLinks: true });
  const commit = steps.slice(steps.indexOf('sync'));
  expect(commit.slice(0, 3)).toEqual(['sync', 'sync', 'sync']);
  // the locks of both folders, each whole from its first moment on
  const lock = ['writeFile', 'link', 'unlink'];
  expect(commit.slice(3, 9)).toEqual([...lock, ...lock]);
  // a and b: old aside, new over it. c: new, temporary gone. Then both folders.
  expect(commit.slice(9, 15)).toEqual(['link', 'rename', 'link', 'rename', 'link', 'unlink']);
  expect(commit.slice(15)).toEqual(['open', 'sync', 'open', 'sync', 'rm', 'rm', 'rm', 'rm']);
});

test('without hard links a file that has appeared meanwhile is still not replaced', async () => {
  await run(false, { hasLinks: false });
  rmSync(join(folder.path, 'dir'), { recursive: true });
  for (const name of readdirSync(folder.path)) rmSync(join(folder.path, name));
  const set = openFileSet({ owner, protect: [], overwrite: false });
  await set.add(join(folder.path, 'a.png'));
  writeFileSync(join(folder.path, 'a.png'), 'theirs');
  expect((await faultOf(set.commit())).code).toBe('output-exists');
  expect(contentsOf(folder.path)).toEqual({ 'a.png': 'theirs' });
});

test('a disk where "b.png" and "B.png" are one file is asked, not guessed', async () => {
  // Imitates such a disk for the one question that tells: the temporary of the first answers to the other name.
  const set = openFileSet({ owner, protect: [], overwrite: true });
  const { tempPath } = await set.add(join(folder.path, 'b.png'));
  writeFileSync(tempPath.replace('.b.png.', '.B.png.'), '');
  expect((await faultOf(set.add(join(folder.path, 'B.png')))).code).toBe('output-twice');
  await set.add(join(folder.path, 'c.png'));
  await set.abandon();
});
