import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { noise, photograph, save } from '../run/pictures.ts';
import { cli, freshPlace, namesIn, shell } from './run-cli.ts';

const place = freshPlace();

/** Flags for a plate of noise of so many pixels a side: it takes a byte for eight of them, and no packing helps. */
function plate(sidePx: number): string {
  save(place.path, 'noise.png', noise(sidePx, sidePx));
  const size = `--width ${(sidePx * 25.4) / 500} --screen threshold --cap 100`;
  return `prepare noise.png --process intaglio --name a --quiet ${size}`;
}

const disk = () => join(place.path, 'disk');
/** A disk of 200 kB where one may be mounted; false elsewhere. */
const mounted = (): boolean => {
  mkdirSync(disk());
  return spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=200k', 'tmpfs', disk()]).status === 0;
};

test('C35 no space for an 800 kB plate on a disk of 200 kB: older output kept, nothing left', async (context) => {
  if (!mounted()) return context.skip('no disk may be mounted here; the file size limit stands in');
  try {
    const args = plate(2530).split(' ');
    save(disk(), 'a.plate.png', Buffer.from('old'));
    for (const rest of [
      ['--out', 'disk', '--overwrite'],
      ['--out', 'disk/new'],
    ]) {
      const run = await cli(place, [...args, ...rest]);
      expect(run.code, run.err).toBe(4);
      expect(run.err).toContain('no space');
      expect(run.out).toBe('');
      expect(namesIn(disk())).toEqual(['a.plate.png']);
      expect(readFileSync(join(disk(), 'a.plate.png'), 'utf8')).toBe('old');
    }
    expect(namesIn(place.tmp)).toEqual([]);
  } finally {
    spawnSync('umount', [disk()]);
  }
});

test('C35 a disk that takes only a part of the last piece of a streamed plate', async (context) => {
  if (!mounted()) return context.skip('no disk may be mounted here');
  try {
    // a plate of 206 to 209 kB for a disk that takes 204.8
    const run = await shell(place, `etch ${plate(1285)} --out - > disk/a.png`);
    expect(statSync(join(disk(), 'a.png')).size).toBe(200 * 1024);
    expect(run.code, run.err).toBe(4);
    expect(run.err).toContain('no space');
  } finally {
    spawnSync('umount', [disk()]);
  }
});

test('a notebook on a full disk: the plate is whole, and it is told that it is not noted', async (context) => {
  if (!mounted()) return context.skip('no disk may be mounted here');
  try {
    const notebook = ['--notebook', 'disk/n.jsonl'];
    expect((await cli(place, ['notebook', 'init', ...notebook])).code).toBe(0);
    spawnSync('dd', ['if=/dev/zero', `of=${join(disk(), 'fill')}`, 'bs=1k', 'count=300']);
    const run = await cli(place, [...plate(100).split(' '), ...notebook, '--out', 'out']);
    expect(run.code, run.err).toBe(4);
    const said = run.err.replaceAll(/\s+/g, ' ');
    expect(said).toMatch(/The plate a is made, but not noted.*no space.*Its files are whole/);
    expect(said).not.toContain('nothing has been changed');
    expect(namesIn(join(place.path, 'out'))).toEqual(['a.plate.png', 'a.report.json']);
    expect(readFileSync(join(disk(), 'n.jsonl'), 'utf8')).toBe('');
  } finally {
    spawnSync('umount', [disk()]);
  }
});

test('C35 a limit on the size of files: older output kept, nothing left', async () => {
  // enlarged, so that the limit is met by the plate and not by what is kept of the picture meanwhile
  save(place.path, 'sea.png', photograph(300, 200));
  save(place.path, 'a.plate.png', Buffer.from('old'));
  const line = 'prepare sea.png --process intaglio --screen errordiffusion --name a --quiet --width 120';
  // blocks of 512 bytes (POSIX), in some shells of 1,024
  const run = await shell(place, `ulimit -f 250; etch ${line} --overwrite`);
  expect(run.code, run.err).toBe(4);
  expect(run.err).toContain('a.plate.png": there is no space');
  expect(namesIn(place.path)).toEqual(['a.plate.png', 'sea.png']);
  expect(readFileSync(join(place.path, 'a.plate.png'), 'utf8')).toBe('old');
  expect(namesIn(place.tmp)).toEqual([]);
});

test('C35 results to a full device', async (context) => {
  if (spawnSync('test', ['-c', '/dev/full']).status !== 0) return context.skip('there is no /dev/full here');
  const line = plate(100);
  const toFile = await shell(place, `etch ${line} --report /dev/full`);
  expect(toFile.code, toFile.err).toBe(4);
  expect(namesIn(place.path)).toEqual(['noise.png']);
  for (const command of [`${line} --report -`, `${line} --out -`, 'list screens']) {
    const run = await shell(place, `etch ${command} > /dev/full`);
    expect(run.code, run.err).toBe(4);
    expect(run.err.match(/no space/g)).toHaveLength(1);
    expect(run.err).not.toMatch(/\bat .*:\d+:\d+/);
  }
});
