/** What `check` draws of finished plates, as processes write it. */
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import { expect, test } from 'vitest';
import { checkSchema } from '../../src/report/check-schema.ts';
import { greyPng } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const at = (name: string): string => join(place.path, name);
const LOOKS = ['--proof', '--holdmap'];

/** A block whose picture is dark on its left half alone, and its proof as `prepare` draws it, in `made`. */
async function makePlate(process: string): Promise<void> {
  writeFileSync(
    at('in.png'),
    greyPng(240, 160, (x) => (x < 120 ? 0 : 255)),
  );
  const size = ['--width', '60mm', '--dpi', '254', '--screen', 'threshold', '--out', 'made'];
  const { code, err } = await cli(place, ['prepare', 'in.png', '--process', process, ...size, ...LOOKS]);
  expect(code, err).toBe(0);
}

test.each(['relief', 'intaglio'])(
  'a plate of ours, %s, has the proof and the map that were made with it',
  async (process) => {
    await makePlate(process);
    const words = ['check', 'made/in.plate.png', '--process', process, ...LOOKS, '--out', 'seen'];
    const { code, out, err } = await cli(place, words);
    expect(code, err).toBe(0);
    expect(namesIn(at('seen'))).toEqual(['in.hold.png', 'in.proof.png']);
    expect(readFileSync(at('seen/in.proof.png')).equals(readFileSync(at('made/in.proof.png')))).toBe(true);
    const [map, before] = ['seen', 'made'].map((folder) =>
      PNG.sync.read(readFileSync(at(`${folder}/in.hold.png`))),
    );
    expect(map!.width).toBe(before!.width);
    // the legend may differ, as cautions do; the plate above it may not
    const plate = map!.width * Math.round((40 * 200) / 25.4) * 4;
    expect(map!.data.subarray(0, plate).equals(before!.data.subarray(0, plate))).toBe(true);
    expect(out).toMatch(/^ {2}files {5}seen\/in\.proof\.png, seen\/in\.hold\.png$/m);
    for (const line of out.split('\n')) expect([...line].length).toBeLessThanOrEqual(80);
  },
);

test('--facing print turns the print round, --json tells the files with their hashes', async () => {
  await makePlate('relief');
  const words = ['check', 'made/in.plate.png', '--process', 'relief', '--proof', '--margin', '0', '--json'];
  const { code, out, err } = await cli(place, [...words, '--facing', 'print', '--ink-colour', '#123456']);
  expect(code, err).toBe(0);
  const { files } = checkSchema.parse(JSON.parse(out));
  expect(files.map(({ role, name }) => [role, name])).toEqual([['proof', 'in.proof.png']]);
  const file = readFileSync(at('in.proof.png'));
  expect(createHash('sha256').update(file).digest('hex')).toBe(files[0]!.sha256);
  const { width, height, data } = PNG.sync.read(file);
  const redAt = (share: number): number =>
    data[4 * (Math.floor(height / 2) * width + Math.floor(share * width))]!;
  // taken as it lies, the picture's dark left half is on the right
  expect(redAt(0.25)).toBeGreaterThan(0xc0);
  expect(redAt(0.75)).toBe(0x12);
});

test('writes over nothing unless told, and leaves nothing behind', async () => {
  await makePlate('relief');
  const words = ['check', 'made/in.plate.png', '--process', 'relief', '--proof'];
  writeFileSync(at('in.proof.png'), 'mine');
  const refused = await cli(place, words);
  expect(refused.code).toBe(4);
  expect(readFileSync(at('in.proof.png'), 'utf8')).toBe('mine');
  expect(namesIn(place.path)).toEqual(['in.png', 'in.proof.png', 'made']);
  expect((await cli(place, [...words, '--overwrite'])).code).toBe(0);
  expect(readFileSync(at('in.proof.png')).subarray(1, 4).toString()).toBe('PNG');
});

test('a plate without anything to look at writes nothing', async () => {
  await makePlate('relief');
  const { code, out } = await cli(place, ['check', 'made/in.plate.png', '--json']);
  expect(code).toBe(0);
  expect(checkSchema.parse(JSON.parse(out)).files).toEqual([]);
  expect(namesIn(place.path)).toEqual(['in.png', 'made']);
});

test.each([
  ['bad-colour', ['--proof', '--ink-colour', 'inkish']],
  ['holdmap-without-hold', ['--holdmap', '--no-hold']],
  ['look-of-stream', ['--proof', '--out', '-']],
  ['proof-ppi', ['--proof', '--proof-ppi', '0']],
])('refuses what cannot be: %s', async (code, words) => {
  const run = await cli(place, ['check', 'none.png', '--json', ...words]);
  expect(run.code).toBe(2);
  expect(run.err).toContain(code);
  expect(namesIn(place.path)).toEqual([]);
});

test('two plates of one name are told before any is read', async () => {
  await makePlate('relief');
  mkdirSync(at('other'));
  renameSync(at('in.png'), at('other/in.png'));
  const run = await cli(place, ['check', 'made/in.plate.png', 'other/in.png', '--proof']);
  expect(run.code).toBe(2);
  expect(run.err).toContain('same name');
});
