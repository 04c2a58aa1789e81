import {
  chmodSync,
  existsSync,
  linkSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  readSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join, relative } from 'node:path';
import { describe, expect, test } from 'vitest';
import { openFileSet } from '../../src/io/atomic.ts';
import { bytes, contentsOf, faultOf, freshFolder, owner } from './file-set-tools.ts';

const folder = freshFolder();
const at = (name: string) => join(folder.path, name);
const open = (overwrite = false, protect: string[] = []) => openFileSet({ owner, protect, overwrite });

describe('C31 an output that is an input is refused, however it is spelt', () => {
  const spellings: Record<string, () => string> = {
    'absolute path': () => at('a.png'),
    'relative path': () => relative(process.cwd(), at('a.png')),
    './a.png': () => `${folder.path}/./a.png`,
    'dir/../a.png': () => `${folder.path}/dir/../a.png`,
    'not-there/../a.png': () => `${folder.path}/not-there/../a.png`,
    'symbolic link': () => at('link.png'),
    'link to a link': () => at('link2.png'),
    'hard link': () => at('hard.png'),
    'through a linked folder': () => at('elsewhere/a.png'),
    'up from a linked folder': () => `${folder.path}/deep/../a.png`,
  };

  test.each(Object.keys(spellings))('%s', async (spelling) => {
    writeFileSync(at('a.png'), 'the picture');
    mkdirSync(at('dir/inner'), { recursive: true });
    symlinkSync('a.png', at('link.png'));
    symlinkSync('link.png', at('link2.png'));
    symlinkSync('.', at('elsewhere'));
    symlinkSync('dir/inner', at('deep')); // deep/.. is dir, not the folder that deep is in
    linkSync(at('a.png'), at('dir/a.png'));
    linkSync(at('a.png'), at('hard.png'));
    const before = contentsOf(folder.path);
    const set = open(true, [at('other.json'), at('a.png')]);
    const fault = await faultOf(set.add(spellings[spelling]!()));
    await set.abandon();
    expect(fault.code).toBe('output-is-input');
    expect(fault.message).toContain(spellings[spelling]!());
    expect(fault.hint).not.toContain('--overwrite');
    expect(contentsOf(folder.path)).toEqual(before);
    expect(readdirSync(folder.path).sort()).toEqual(
      ['a.png', 'deep', 'dir', 'elsewhere', 'hard.png', 'link.png', 'link2.png'].sort(),
    );
  });

  test('a job file that is not there yet is protected too', async () => {
    mkdirSync(at('dir'));
    const set = open(true, [at('job.json')]);
    expect((await faultOf(set.add(`${folder.path}/dir/../job.json`))).code).toBe('output-is-input');
    await set.abandon();
  });

  test('"up from a linked folder" is where the system says, not where the spelling says', async () => {
    mkdirSync(at('dir/inner'), { recursive: true });
    symlinkSync('dir/inner', at('deep'));
    const set = open();
    await (await set.add(`${folder.path}/deep/../new.png`)).write(bytes('new'));
    await set.commit();
    expect(contentsOf(folder.path)).toEqual({ 'dir/new.png': 'new' });
  });
});

describe('refusals', () => {
  const refuse = async (path: string, overwrite = false) => {
    const before = contentsOf(folder.path);
    const set = open(overwrite);
    const fault = await faultOf(set.add(path));
    await set.abandon();
    expect(contentsOf(folder.path)).toEqual(before);
    expect(fault.hint).not.toBe('');
    return fault;
  };

  test('a file that is there, and how to replace it', async () => {
    writeFileSync(at('a.png'), 'old');
    const fault = await refuse(at('a.png'));
    expect(fault.code).toBe('output-exists');
    expect(fault.message).toContain(`"${at('a.png')}"`);
    expect(fault.hint).toContain('--overwrite');
  });

  test.each(['dir', 'dir/', '.', 'dir/..', 'new/'])('a folder: %s', async (name) => {
    mkdirSync(at('dir'));
    expect((await refuse(`${folder.path}/${name}`, true)).code).toBe('output-is-folder');
    expect(existsSync(at('new'))).toBe(false);
  });

  test('no path at all', async () => {
    expect((await refuse('')).code).toBe('output-is-folder');
  });

  test('a folder that is a file', async () => {
    writeFileSync(at('a'), '');
    for (const path of [at('a/b.png'), at('a/b/c.png')]) {
      const fault = await refuse(path);
      expect(fault.code).toBe('output-failed');
      expect(fault.message).toContain('is a file, not a folder');
    }
  });

  test('a device, also when told to overwrite', async () => {
    expect((await refuse('/dev/null', true)).code).toBe('output-failed');
    expect(statSync('/dev/null').isCharacterDevice()).toBe(true);
  });

  test('a link that leads nowhere', async () => {
    symlinkSync('nowhere', at('a.png'));
    expect((await refuse(at('a.png'), true)).code).toBe('output-failed');
    expect(lstatSync(at('a.png')).isSymbolicLink()).toBe(true);
  });

  test('a name too long', async () => {
    expect((await refuse(at(`${'n'.repeat(250)}.png`))).message).toContain('too long');
  });

  test('a path no system takes', async () => {
    expect((await refuse(at('a\0b'))).code).toBe('output-failed');
  });

  test('the same file twice in a set, old or new, also when both are asked for at once', async () => {
    writeFileSync(at('old.png'), 'old');
    linkSync(at('old.png'), at('hard.png'));
    const set = open(true);
    await set.add(at('old.png'));
    expect((await faultOf(set.add(at('hard.png')))).code).toBe('output-twice');
    const both = await Promise.allSettled([set.add(at('new.png')), set.add(`${folder.path}/./new.png`)]);
    expect(both.map((one) => one.status)).toEqual(['fulfilled', 'rejected']);
    expect((await faultOf(set.add(at('new.png')))).code).toBe('output-twice');
    await set.abandon();
  });

  test('a folder one may not write to', async () => {
    mkdirSync(at('dir'), { mode: 0o555 });
    chmodSync(folder.path, 0o755);
    const isRoot = process.getuid?.() === 0;
    if (isRoot) process.seteuid!(65534); // root may write anywhere, so be nobody for a moment
    try {
      expect((await refuse(at('dir/a.png'))).code).toBe('output-denied');
      expect((await refuse(at('dir/new/a.png'))).code).toBe('output-denied');
    } finally {
      if (isRoot) process.seteuid!(0);
    }
  });

  // access(2) asks for the real user, who cannot be changed for a moment.
  test.skipIf(process.getuid?.() === 0)('a write-protected file, also when told to overwrite', async () => {
    writeFileSync(at('a.png'), 'old', { mode: 0o444 });
    expect((await refuse(at('a.png'), true)).code).toBe('output-denied');
  });
});

describe('writing', () => {
  test('files appear under their names at commit, whole, with the usual permissions, and nothing else does', async () => {
    const set = open();
    const plate = await set.add(at('new/deep/a.plate.png'));
    const report = await set.add(at('new/a.report.json'));
    await plate.write([...bytes('one '), new Uint8Array(0), ...bytes('two ')]);
    await plate.write([]);
    await plate.write(bytes('three'));
    await report.write(bytes('{}'));
    expect(Object.keys(contentsOf(folder.path)).every((name) => name.endsWith('.part'))).toBe(true);
    expect(readFileSync(plate.tempPath, 'latin1')).toBe('one two three');
    const back = Buffer.alloc(3);
    readSync(plate.fd, back, 0, 3, 4);
    expect(back.toString()).toBe('two');
    await set.commit();
    expect(contentsOf(folder.path)).toEqual({
      'new/a.report.json': '{}',
      'new/deep/a.plate.png': 'one two three',
    });
    expect(statSync(at('new/a.report.json')).mode & 0o777).toBe(0o666 & ~process.umask());
    await set.abandon();
    expect(existsSync(at('new/a.report.json'))).toBe(true);
  });

  test('many small pieces and shared memory', async () => {
    const pieces = Array.from({ length: 3000 }, (_, index) => {
      const piece = new Uint8Array(new SharedArrayBuffer(index % 7));
      return piece.fill(index & 255);
    });
    const set = open();
    await (await set.add(at('a.bin'))).write(pieces);
    await set.commit();
    expect(readFileSync(at('a.bin')).equals(Buffer.concat(pieces))).toBe(true);
  });

  test('overwriting through a link keeps the link; other hard links keep the old bytes', async () => {
    mkdirSync(at('real'));
    writeFileSync(at('real/a.png'), 'old');
    symlinkSync('real/a.png', at('a.png'));
    linkSync(at('real/a.png'), at('copy.png'));
    const set = open(true);
    await (await set.add(at('a.png'))).write(bytes('new'));
    await set.commit();
    expect(lstatSync(at('a.png')).isSymbolicLink()).toBe(true);
    expect(contentsOf(folder.path)).toEqual({ 'copy.png': 'old', 'real/a.png': 'new' });
  });

  test('a finished set takes no more', async () => {
    const set = open();
    await set.commit();
    await expect(set.add(at('a.png'))).rejects.toThrow('end of a file set');
    await expect(set.commit()).rejects.toThrow('end of a file set');
  });
});

describe('undoing', () => {
  test('abandon leaves nothing, may be repeated, and keeps a folder somebody else has used', async () => {
    const set = open();
    await (await set.add(at('one/two/a.png'))).write(bytes('a'));
    await set.add(at('mine/theirs/b.png'));
    writeFileSync(at('mine/note.txt'), 'note');
    const late = set.add(at('late.png')).catch(() => undefined);
    await set.abandon();
    await set.abandon();
    await late;
    expect(readdirSync(folder.path)).toEqual(['mine']);
    expect(contentsOf(folder.path)).toEqual({ 'mine/note.txt': 'note' });
    await expect(set.commit()).rejects.toThrow('end of a file set');
  });

  test('a file that appears between add and commit is not replaced, and the rest is undone', async () => {
    const set = open();
    await (await set.add(at('new/a.png'))).write(bytes('a'));
    await (await set.add(at('b.png'))).write(bytes('b'));
    writeFileSync(at('b.png'), 'theirs');
    const fault = await faultOf(set.commit());
    expect(fault.code).toBe('output-exists');
    expect(fault.message).toContain(at('b.png'));
    expect(contentsOf(folder.path)).toEqual({ 'b.png': 'theirs' });
    expect(existsSync(at('new'))).toBe(false);
  });

  test('old files come back when a later file of the set cannot be put in place', async () => {
    writeFileSync(at('a.png'), 'old a');
    writeFileSync(at('b.png'), 'old b');
    const set = open(true);
    for (const name of ['a.png', 'fresh.png', 'b.png', 'c.png'])
      await (await set.add(at(name))).write(bytes('new'));
    mkdirSync(at('c.png')); // a folder takes the place of the last one
    writeFileSync(at('c.png/theirs'), 'theirs');
    expect((await faultOf(set.commit())).kind).toBe('output');
    expect(contentsOf(folder.path)).toEqual({ 'a.png': 'old a', 'b.png': 'old b', 'c.png/theirs': 'theirs' });
  });
});

test('a file that turns out not to be wanted leaves its set, and the others appear', async () => {
  writeFileSync(at('b.png'), 'old');
  const set = open(true);
  await (await set.add(at('a.png'))).write(bytes('new'));
  const unwanted = await set.add(at('b.png'));
  await unwanted.write(bytes('half'));
  await unwanted.discard();
  await (await set.add(at('c.png'))).write(bytes('new'));
  await unwanted.discard();
  await set.commit();
  expect(contentsOf(folder.path)).toEqual({ 'a.png': 'new', 'b.png': 'old', 'c.png': 'new' });
});
