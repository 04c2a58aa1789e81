import { cpSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { beforeEach, expect, test } from 'vitest';
import { SETS } from '../../examples/night-ferry.mjs';
import { remakeSchema } from '../../src/report/remake-schema.ts';
import { type SetReport, setSchema } from '../../src/report/set/schema.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
const top = join(import.meta.dirname, '../..');
beforeEach(() =>
  cpSync(join(top, 'examples/night-ferry'), join(place.path, 'examples/night-ferry'), { recursive: true }),
);

/** The demo's own command line, on plates small enough for a test. */
async function made(set: readonly string[], ...more: readonly string[]): Promise<SetReport> {
  const run = await cli(place, ['separate', ...set, '--quiet', '--json', '--dpi', '100', ...more]);
  expect([run.code, run.err]).toEqual([0, '']);
  return setSchema.parse(JSON.parse(run.out));
}

/** The set made again from its report alone, without writing. */
async function isMadeAgain(report: string): Promise<void> {
  const run = await cli(place, ['remake', report, '--input', 'examples/night-ferry', '--dry-run', '--json']);
  expect([run.code, run.err]).toEqual([0, '']);
  expect(remakeSchema.parse(JSON.parse(run.out))).toMatchObject({ sameBits: true, differences: [] });
}

test('Night Ferry: two acrylic plates and a key block on one canvas, each grain of its own', async () => {
  const set = await made(SETS[0]!, '--width', '150mm', '--proof', '--proof-ppi', '60');
  expect(set.plates.map(({ name, report }) => [name, report.plate.process, report.screen.kind])).toEqual([
    ['lamps', 'intaglio', 'grain'],
    ['sound', 'intaglio', 'grain'],
    ['key', 'relief', 'threshold'],
  ]);
  const canvases = set.plates.map(({ report: { plate } }) => [plate.widthPx, plate.heightPx, plate.dpi]);
  expect(new Set(canvases.map(String)).size).toBe(1);
  expect(canvases[0]).toEqual([591, 433, 100]); // 150 × 110 mm at 100 to the inch: 120 × 80 in a border of 15
  const [lamps, sound] = set.plates.map(({ report }) => report.job['seed']);
  expect(lamps).not.toBe(sound);
  expect(set.sheets?.start).toBe(37); // 31 ÷ 0.95³ = 36.16, worked by hand
  const proof = await sharp(join(place.path, 'night-ferry.proof.png')).metadata();
  const state = await sharp(join(place.path, 'night-ferry.state-1.proof.png')).metadata();
  expect([proof.width, proof.height]).toEqual([state.width, state.height]);
  await isMadeAgain('night-ferry.set.json');
});

test('the card: four stages of one block, of which the third asks for what is gone', async () => {
  const set = await made(SETS[1]!);
  expect(set.plates).toHaveLength(4);
  expect(
    set.cautions.filter(({ code }) => code === 'stage-clipped').map(({ text }) => text.split(' ')[0]),
  ).toEqual(['stage-3']);
  expect(set.cautions.filter(({ code }) => code === 'one-way')).toHaveLength(3);
  expect(set.sheets?.start).toBe(19); // 15 ÷ 0.95⁴ = 18.42
  // the light of a stage is what is kept; all cuts together leave what the last stage prints
  const codes = await Promise.all(
    set.plates.map(({ report }) =>
      sharp(join(place.path, report.files[0]!.name)).toColourspace('b-w').raw().toBuffer(),
    ),
  );
  const left = codes[0]!.filter((_, at) => codes.every((plate) => plate[at]! > 127)).length;
  const { data } = await sharp(readFileSync(join(top, 'examples/night-ferry/card-4.svg')), { density: 100 })
    .resize(472, 315, { fit: 'fill' })
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const asked = data.filter((code) => code < 128).length;
  expect(Math.abs(left / asked - 1)).toBeLessThan(0.03);
  await isMadeAgain('card.set.json');
});
