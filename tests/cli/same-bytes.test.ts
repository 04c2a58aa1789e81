import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { bitsSha256, seenInPng, sha256 } from '../run/judges.ts';
import { photograph, save } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();

// 4.6 million pixels in three bands; the border makes the picture begin inside a byte
const JOB = {
  process: 'intaglio',
  widthMm: 110.1,
  heightMm: 107,
  borderMm: 3.3,
  fit: 'cover',
  capPercent: 85,
  screen: 'errordiffusion',
  kernel: 'ostromoukhov',
  seed: 5,
};
const FLAGS = [
  '--process',
  'intaglio',
  '--width',
  '110.1mm',
  '--height',
  '10,7cm',
  '--border',
  '3300um',
  '--fit',
];
const REST = [
  'cover',
  '--cap',
  '85%',
  '--screen',
  'errordiffusion',
  '--kernel',
  'ostromoukhov',
  '--seed',
  '5',
];

describe('one plate, made in many ways', () => {
  let picture = '';
  beforeEach(() => {
    picture = save(place.path, 'sea.png', photograph(640, 600));
  });
  const read = (name: string): Buffer => readFileSync(join(place.path, name));
  const reportOf = (name: string) => JSON.parse(read(`${name}.report.json`).toString());

  test('1, 2 and 8 workers, flags, job file, saved job and pipe give the same bytes', async () => {
    const ok = async (args: readonly string[], input?: Uint8Array) => {
      const run = await cli(place, ['prepare', ...args], input ? { input } : {});
      expect(run.code, run.err).toBe(0);
      return run;
    };
    const flags = [...FLAGS, ...REST];
    await ok([picture, ...flags, '--workers', '1', '--name', 'one', '--save-job', 'saved.json']);
    const plate = read('one.plate.png');
    const seen = seenInPng(plate);
    expect(seen.widthPx * seen.heightPx).toBeGreaterThan(3e6);
    expect(seen.heightPx).toBeGreaterThan(2 * 1024);
    const bits = bitsSha256(seen);
    expect(reportOf('one').bitsSha256).toBe(bits);

    await ok([picture, ...flags, '--workers', '2', '--name', 'two']);
    await ok([picture, ...flags, '--workers', '8', '--name', 'eight']);
    save(place.path, 'sea.job.json', Buffer.from(JSON.stringify(JOB)));
    await ok([picture, '--job', 'sea.job.json', '--name', 'job']);
    await ok([picture, '--job', 'saved.json', '--name', 'saved']);
    for (const name of ['two', 'eight', 'job', 'saved']) {
      expect(sha256(read(`${name}.plate.png`)), name).toBe(sha256(plate));
      expect(reportOf(name).bitsSha256).toBe(bits);
    }
    const piped = await ok(['-', ...flags, '--out', '-', '--report', 'piped.report.json'], read('sea.png'));
    expect(sha256(piped.outBytes)).toBe(sha256(plate));
    expect(reportOf('piped').bitsSha256).toBe(bits);
    expect(reportOf('piped').input.name).toBe('standard input');

    // worker threads change nothing in the report either, but for the name of the file
    const unnamed = (name: string) =>
      read(`${name}.report.json`).toString().replaceAll(`${name}.plate`, 'plate');
    expect(unnamed('two')).toBe(unnamed('one'));
    expect(namesIn(place.tmp)).toEqual([]);
  });
});

test('two runs give byte-identical plates and reports, and no path is in them', async () => {
  save(place.path, 'sea.png', photograph(300, 200));
  const args = ['prepare', 'sea.png', '--process', 'relief', '--screen', 'bayer', '--width', '60'];
  for (const out of ['first', 'second'])
    expect((await cli(place, [...args, '--format', 'png,tiff', '--out', join(place.path, out)])).code).toBe(
      0,
    );
  expect(namesIn(join(place.path, 'first'))).toEqual(['sea.plate.png', 'sea.plate.tif', 'sea.report.json']);
  for (const name of namesIn(join(place.path, 'first'))) {
    const text = readFileSync(join(place.path, 'first', name));
    expect(sha256(readFileSync(join(place.path, 'second', name)))).toBe(sha256(text));
    for (const path of [place.path, place.tmp, 'whole-way-', process.cwd()])
      expect(text.includes(path), name).toBe(false);
  }
});
