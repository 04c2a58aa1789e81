/** What is made to look at beside a plate, as processes write it. */
import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import { describe, expect, test } from 'vitest';
import type { Report } from '../../src/report/schema.ts';
import { greyPng } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const at = (name: string): string => join(place.path, name);

/** Dark on its left half alone, so that mirroring shows. */
const halves = (): Buffer => greyPng(240, 160, (x) => (x < 120 ? 0 : 255));
const SIZE = ['--width', '60mm', '--dpi', '254', '--process', 'relief', '--screen', 'threshold'];
const ALL = ['--proof', '--holdmap', '--jobsheet'];

/** Pixels per metre as pHYs states them (PNG, ISO/IEC 15948, 11.3.5.3). */
function perMetre(file: Buffer): number {
  const chunk = file.indexOf('pHYs');
  expect(file[chunk + 12]).toBe(1);
  return file.readUInt32BE(chunk + 4);
}

describe('prepare --proof --holdmap --jobsheet', () => {
  test('writes three files in their size, print-reading, each with its hash in the report', async () => {
    writeFileSync(at('in.png'), halves());
    const { code, err } = await cli(place, ['prepare', 'in.png', ...SIZE, ...ALL, '--margin', '5mm']);
    expect(code, err).toBe(0);
    const names = ['in.plate.png', 'in.proof.png', 'in.hold.png', 'in.jobsheet.html'];
    expect(namesIn(place.path)).toEqual([...names, 'in.png', 'in.report.json'].sort());
    const { files } = JSON.parse(readFileSync(at('in.report.json'), 'utf8')) as Report;
    expect(files.map(({ role, name }) => [role, name])).toEqual(
      ['plate', 'proof', 'hold', 'jobsheet'].map((role, i) => [role, names[i]]),
    );
    for (const { name, bytes, sha256 } of files) {
      const file = readFileSync(at(name));
      expect(file.length).toBe(bytes);
      expect(createHash('sha256').update(file).digest('hex')).toBe(sha256);
    }
    const proof = readFileSync(at('in.proof.png'));
    const { width, height, data } = PNG.sync.read(proof);
    const mmPerPx = 1000 / perMetre(proof);
    expect(Math.abs(width * mmPerPx - 70)).toBeLessThanOrEqual(2 * mmPerPx);
    expect(Math.abs(height * mmPerPx - 50)).toBeLessThanOrEqual(2 * mmPerPx);
    const redAt = (share: number): number =>
      data[4 * (Math.floor(height / 2) * width + Math.floor(share * width))]!;
    expect(redAt(0.3)).toBeLessThan(0x40);
    // a round spot as wide as the pitch leaves ridges that print
    expect(redAt(0.7)).toBeGreaterThan(0xc0);
    expect(err).toMatch(/^ {2}files {5}in\.plate\.png, \.proof\.png, \.hold\.png, \.jobsheet\.html$/m);
    for (const line of err.split('\n')) expect([...line].length).toBeLessThanOrEqual(80);
  });

  test('makes the same bytes with one thread and with two', async () => {
    writeFileSync(at('in.png'), halves());
    for (const workers of ['1', '2']) {
      const words = ['prepare', 'in.png', ...SIZE, ...ALL, '--out', workers, '--workers', workers];
      expect((await cli(place, words)).code).toBe(0);
    }
    for (const name of namesIn(at('1')))
      expect(readFileSync(at(`2/${name}`)).equals(readFileSync(at(`1/${name}`))), name).toBe(true);
  });

  test('draws the same map with the proof and without', async () => {
    writeFileSync(at('in.png'), halves());
    for (const words of [['--holdmap'], ['--proof', '--holdmap', '--overwrite', '--workers', '2']]) {
      const { code, err } = await cli(place, [
        'prepare',
        'in.png',
        ...SIZE,
        ...words,
        '--out',
        words[0]!.slice(2),
      ]);
      expect(code, err).toBe(0);
    }
    expect(readFileSync(at('proof/in.hold.png')).equals(readFileSync(at('holdmap/in.hold.png')))).toBe(true);
  });

  test('keeps a hostile name as text of the sheet', async () => {
    const name = 'a"><img src=x onerror=alert(1)>';
    writeFileSync(at(`${name}.png`), halves());
    const { code, err } = await cli(place, ['prepare', `${name}.png`, ...SIZE, '--jobsheet']);
    expect(code, err).toBe(0);
    const sheet = readFileSync(at('a-img src=x onerror=alert(1)-.jobsheet.html'), 'utf8');
    expect(sheet).toContain('a&quot;&gt;&lt;img src=x onerror=alert(1)&gt;');
    expect(sheet).not.toContain('<img src=x');
    expect(sheet).not.toMatch(/https?:|<script/);
    expect([...sheet.matchAll(/<img /g)]).toHaveLength(4);
  });

  test('writes nothing where the plate is refused', async () => {
    writeFileSync(at('in.png'), halves());
    const { code } = await cli(place, ['prepare', 'in.png', ...SIZE, ...ALL, '--strict']);
    expect(code).toBe(5);
    expect(namesIn(place.path)).toEqual(['in.png']);
  });

  test('a sheet of a plate of tone shows its artwork', async () => {
    writeFileSync(at('in.png'), halves());
    const words = [
      'prepare',
      'in.png',
      '--width',
      '30',
      '--process',
      'intaglio',
      '--screen',
      'none',
      '--jobsheet',
    ];
    const { code, err } = await cli(place, words);
    expect(code, err).toBe(0);
    expect([...readFileSync(at('in.jobsheet.html'), 'utf8').matchAll(/<img /g)]).toHaveLength(1);
  });

  test.each([
    ['look-of-dry-run', ['--proof', '--dry-run']],
    ['look-of-stream', ['--jobsheet', '--out', '-', '--report', 'r.json']],
    ['holdmap-without-hold', ['--holdmap', '--no-hold']],
    ['look-of-tone', ['--proof', '--screen', 'none']],
    ['bad-colour', ['--proof', '--ink-colour', 'inkish']],
  ])('refuses what cannot be: %s', async (code, words) => {
    writeFileSync(at('in.png'), halves());
    const base = ['prepare', 'in.png', '--process', 'relief', '--width', '60', '--json'];
    const run = await cli(place, [...base, ...words]);
    expect(run.code).toBe(2);
    expect(run.err).toContain(code);
    expect(namesIn(place.path)).toEqual(['in.png']);
  });
});
