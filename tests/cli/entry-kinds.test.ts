/** Entries of every kind as runs leave them: they are as the printed schema says, and are listed, found and compared. */
import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import * as z from 'zod';
import { simulatedScan } from '../../examples/simulated-scan.mjs';
import { gained } from '../calibration/proofs.ts';
import { smallPlate } from '../calibration/small-plate.ts';
import { photograph, save } from '../run/pictures.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
// biome-ignore lint/suspicious/noExplicitAny: what the program prints is looked at piece by piece
type Json = Record<string, any>;

const at = (name: string): string => join(place.path, name);
const sha256 = (name: string): string =>
  createHash('sha256')
    .update(readFileSync(at(name)))
    .digest('hex');

async function ok(...args: string[]): Promise<string> {
  const run = await cli(place, args);
  expect(run.code, run.err).toBe(0);
  return run.out;
}
const told = async (...args: string[]) => JSON.parse(await ok('notebook', ...args, '--json')) as Json;

async function printAndScan(name: string, gain: (share: number) => number): Promise<void> {
  const layout = smallPlate('intaglio');
  writeFileSync(at('layout.json'), JSON.stringify(layout));
  const { codes, widthPx, heightPx } = simulatedScan(layout, { ppi: 300, marginMm: 10, gain });
  const raw = { width: widthPx, height: heightPx, channels: 1 } as const;
  await sharp(codes, { raw }).toColourspace('b-w').png().toFile(at(name));
}

test('a plate, a gang, a test plate, a curve and two control strips', async () => {
  await ok('notebook', 'init');
  save(place.path, 'a.png', photograph(90, 60));
  await ok('prepare', 'a.png', '--process', 'relief', '--width', '20', '--screen', 'threshold', '--quiet');
  await ok('gang', 'a.plate.png', '--sheet-width', '60', '--sheet-height', '60', '--quiet');
  await ok(
    'testplate',
    '--process',
    'intaglio',
    '--dpi',
    '127',
    '--spot',
    '0.3mm',
    '--name',
    'tp',
    '--quiet',
  );
  const gain = gained(0.15);
  await printAndScan('proof.png', gain);
  const about = ['--material', 'zinc', '--batch', 'Z4', '--measured-on', '2031-05-02', '--note', 'soft wipe'];
  await ok('calibrate', 'proof.png', '--layout', 'layout.json', '--name', 'cotton', ...about, '--quiet');

  // every line is as the schema says that the program prints of itself
  const schema = z.fromJSONSchema(JSON.parse(await ok('schema', 'notebook')));
  const lines = readFileSync(at('etchwright.notebook.jsonl'), 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line));
  for (const line of lines) expect(schema.safeParse(line).error).toBeUndefined();
  expect(schema.safeParse({ ...lines[0], bitsSha256: 7 }).success).toBe(false);
  expect(lines.map(({ kind }) => kind)).toEqual(['plate', 'gang', 'testplate', 'calibration']);
  expect(lines[3]).toMatchObject({
    name: 'cotton',
    note: 'soft wipe',
    material: { id: 'zinc', batch: 'Z4' },
    curve: { sha256: sha256('cotton.curve.json'), measuredOn: '2031-05-02' },
    scans: [{ name: 'proof.png', sha256: sha256('proof.png') }],
  });

  const rows = (await told('list')) as Json[];
  expect(rows.map(({ kind, name }: Json) => [kind, name])).toEqual([
    ['plate', 'a'],
    ['gang', 'gang'],
    ['testplate', 'tp'],
    ['calibration', 'cotton'],
  ]);
  const found = async (...words: string[]) =>
    ((await told('find', ...words)) as Json[]).map(({ number }: Json) => number);
  expect(await found('--kind', 'calibration', 'zinc')).toEqual([4]);
  expect(await found('--kind', 'gang', 'a')).toEqual([2]);
  const wrong = await cli(place, ['notebook', 'find', '--kind', 'gangs']);
  expect([wrong.code, wrong.err]).toEqual([
    2,
    expect.stringMatching(/plate, testplate, gang, calibration, strip/),
  ]);

  expect(await told('compare', '1', '2')).toMatchObject({
    sameKind: false,
    goneCautions: [],
    newCautions: [],
  });
  expect((await ok('notebook', 'compare', '1', '2')).replaceAll(/\s+/g, ' ')).toContain(
    'a plate and a gang of plates; only what both have is compared',
  );
  const page = await ok('notebook', 'show', '2', '4');
  expect(page).toContain('1 plate on 1 sheet');
  expect(page).toMatch(/kept lines [\d.]+ mm/);
  for (const line of page.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  expect((await ok('notebook', 'export')).trim().split('\r\n')).toHaveLength(5);

  const strip = ['--layout', 'layout.json', '--control-strip', 'cotton.curve.json', '--material', 'zinc'];
  await ok('calibrate', 'proof.png', ...strip, '--note', 'still right', '--name', 'may-9');
  await printAndScan('later.png', (share) => 0.8 * gain(share));
  const later = await cli(place, ['calibrate', 'later.png', ...strip]);
  expect([later.code, later.err]).toEqual([5, expect.stringContaining('is not what it was')]);
  const strips = (await told('find', '--kind', 'strip', 'zinc')) as Json[];
  expect(strips.map(({ entry }: Json) => [entry.name, entry.made, entry.curve.name])).toEqual([
    ['may-9', true, 'cotton'],
    ['later', false, 'cotton'],
  ]);
  const written = readFileSync(at('etchwright.notebook.jsonl'), 'utf8').trim().split('\n').slice(-2);
  const [held, drifted] = written.map((line) => JSON.parse(line));
  for (const entry of [held, drifted]) expect(schema.safeParse(entry).error).toBeUndefined();
  expect(held).toMatchObject({
    kind: 'strip',
    note: 'still right',
    holds: true,
    curve: { name: 'cotton', sha256: sha256('cotton.curve.json') },
    scans: [{ name: 'proof.png', sha256: sha256('proof.png') }],
  });
  expect(drifted).toMatchObject({ holds: false, layoutId: held.layoutId });
  expect((await ok('notebook', 'show', '6')).replaceAll(/\s+/g, ' ')).toMatch(
    /holds no; \+[\d.]+ L\* off at most/,
  );

  const withoutMaterial = strip.slice(0, -2);
  const entered = await cli(place, ['calibrate', 'later.png', ...withoutMaterial, '--into', 'shop.json']);
  expect([entered.code, entered.err]).toEqual([2, expect.stringContaining('so --into has nothing to do')]);
  expect(entered.err).not.toContain('--material');

  const curve = await cli(place, ['remake', '4', '--dry-run']);
  expect([curve.code, curve.err]).toEqual([2, expect.stringContaining('a measured curve')]);
});
