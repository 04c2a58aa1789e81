/** The class of fifteen in examples/class, with its faults, as a tutor runs it. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { batchSchema } from '../../src/report/batch/schema.ts';
import { seenInPng } from '../run/judges.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const folder = join(import.meta.dirname, '../../examples/class');

test('fifteen pictures, fifteen outcomes: plates under their own names, and a reason for the one that is none', async () => {
  const args = [
    'batch',
    join(folder, 'list.csv'),
    '--job',
    join(folder, 'class.job.json'),
    '--out',
    'out',
    '--json',
  ];
  const run = await cli(place, args);
  expect(run.code, run.err).toBe(6);
  const { plates, counts } = batchSchema.parse(JSON.parse(run.out));
  expect(counts).toEqual({ made: 14, kept: 0, refused: 1, failed: 0 });
  const named = (name: string) => plates.find((plate) => plate.name === name)!;

  expect(plates.filter(({ called }) => called === 'Ada P.').map(({ name }) => name)).toEqual([
    'Ada-P',
    'Ada-P-2',
  ]);
  expect(named('Sunniva')).toMatchObject({
    outcome: 'refused',
    problems: [{ code: 'material-never' }],
    mendPage: 'Sunniva.mend.html',
  });
  for (const { outcome, plate } of plates)
    if (outcome === 'made') {
      expect(plate!.plate).toMatchObject({
        widthMm: 150,
        heightMm: 100,
        mirrored: true,
        process: 'intaglio',
      });
      expect(plate!.time!.totalS).toBeGreaterThan(60);
    }
  const codes = (name: string) => named(name).plate!.cautions.map(({ code }) => code);

  // held upright, stored on its side: the tag is heeded, so the picture fills the plate without cropping its height away
  expect(named('Ruth-Amory').plate!.input.orientation).toBe(6);
  expect(named('Ruth-Amory').plate!.plate.cropPercent).toEqual(named('Old-Ben').plate!.plate.cropPercent);
  // 480 pixels over 150 mm
  expect(named('Kaj').plate!.plate.sourcePpi).toBeCloseTo(480 / (150 / 25.4), 1);
  expect(codes('Kaj')).toContain('low-source-ppi');
  // what is transparent is paper, not ink: of a drawing on nothing hardly anything is etched
  expect(named('Ilse-Vantongeren').plate!.input.alpha).toBe(true);
  expect(named('Ilse-Vantongeren').plate!.coverage.etched).toBeLessThan(0.1);
  expect(named('Dov').plate!.input).toMatchObject({ format: 'jpeg', alpha: false, profile: null });

  const files = namesIn(join(place.path, 'out'));
  expect(files.filter((name) => name.endsWith('.plate.png'))).toHaveLength(14);
  expect(files.filter((name) => name.endsWith('.html'))).toEqual(['Sunniva.mend.html', 'contact.html']);
  const seen = seenInPng(readFileSync(join(place.path, 'out', 'Ada-P-2.plate.png')));
  expect([seen.widthPx, seen.heightPx]).toEqual([1772, 1181]);
});
