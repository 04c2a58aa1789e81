/** Flags that would do nothing beside the others: all are refused at once, before any work. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
const flat = (text: string): string => text.replaceAll(/\s+/g, ' ');
const refused = async (...args: readonly string[]): Promise<string> => {
  const { code, out, err } = await cli(place, args);
  expect([code, out]).toEqual([2, '']);
  return flat(err);
};

const strip = ['calibrate', 'today.png', '--layout', 'a.strip.json', '--control-strip', 'a.curve.json'];

test('beside --control-strip: what goes into files or a curve', async () => {
  const files = ['--out', 'shop', '--overwrite', '--into', 'shop.json'];
  const curve = ['--target', 'density', '--measured-on', '2031-05-03', '--ruler', '100mm'];
  expect(await refused(...strip, ...files, ...curve)).toContain(
    '--control-strip compares tones and writes no files, so --target, --ruler, --measured-on, --into, --out and --overwrite have nothing to do. Leave them out',
  );
  expect(await refused(...strip, '--out', '.')).toContain('so --out has nothing to do. Leave it out');
});

test('beside --control-strip without a notebook: what goes into its entry', async () => {
  const entry = ['--material', 'zinc', '--machine', 'desk', '--batch', '7', '--name', 'may-9'];
  expect(await refused(...strip, ...entry)).toContain(
    '--control-strip is noted in no notebook here, so --batch, --material, --machine and --name have nothing to do. Leave them out, or begin one',
  );
  // with one they count, and what is told next is the curve that is not there
  writeFileSync(join(place.path, 'etchwright.notebook.jsonl'), '');
  const { err } = await cli(place, [...strip, ...entry]);
  expect(err).not.toContain('nothing to do');
});

test('prepare, check and separate tell settings of what is not asked for', async () => {
  const prepare = ['prepare', 'a.png', '--process', 'relief', '--width', '40mm'];
  expect(await refused(...prepare, '--clear-pass', '1mm', '--ink-colour', 'navy')).toMatch(
    /--clear-pass does nothing without --clearing\..*--ink-colour does nothing without --proof or --jobsheet\./,
  );
  const check = ['check', 'a.plate.png', '--out', 'seen', '--overwrite', '--proof-ppi', '100'];
  expect(await refused(...check)).toContain(
    '--out, --overwrite and --proof-ppi do nothing without --proof or --holdmap',
  );
  const separate = ['separate', 'a.png', '--by', 'tones', '--process', 'relief', '--width', '40mm'];
  expect(await refused(...separate, '--loss', '4', '--edition-proofs', '2')).toContain(
    '--edition-proofs and --loss do nothing without --edition',
  );
  expect(await refused('testplate', '--process', 'intaglio', '--wave-height', '2mm')).toContain(
    '--wave-height does nothing without --wave-length',
  );
});
