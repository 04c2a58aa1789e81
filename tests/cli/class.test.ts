/** The class of fifteen in examples/class, with its faults, as a tutor runs it: pictures to plates, sheets and slots. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { classDay } from '../../examples/class-day.mjs';
import { batchSchema } from '../../src/report/batch/schema.ts';
import { gangSchema } from '../../src/report/gang/schema.ts';
import { remakeSchema } from '../../src/report/remake-schema.ts';
import { slotsSchema } from '../../src/report/slots-schema.ts';
import { seenInPng } from '../run/judges.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();

test('fifteen pictures, fifteen outcomes, right names; then two sheets with their outlines, and a plan of slots', async () => {
  const day = classDay(place.path, true);
  const { plates, counts } = batchSchema.parse(day.batch);
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

  const files = namesIn(join(place.path, 'plates'));
  expect(files.filter((name) => name.endsWith('.plate.png'))).toHaveLength(14);
  expect(files.filter((name) => name.endsWith('.html'))).toEqual(['Sunniva.mend.html', 'contact.html']);
  const seen = seenInPng(readFileSync(join(place.path, 'plates', 'Ada-P-2.plate.png')));
  expect([seen.widthPx, seen.heightPx]).toEqual([1772, 1181]);

  // each of the fourteen lies whole on one of two sheets, under its name and with the bits of its own report
  const { sheets, cautions } = gangSchema.parse(day.gang);
  expect(sheets).toHaveLength(2);
  const placed = sheets.flatMap((sheet) => sheet.placed);
  const bits = plates.flatMap(({ name, plate, outcome }) =>
    outcome === 'made' ? [[name, plate!.bitsSha256]] : [],
  );
  expect(placed.map(({ name, bitsSha256 }) => [name, bitsSha256]).toSorted()).toEqual(bits.toSorted());
  expect(new Set(placed.map(({ report }) => report))).toEqual(new Set(['agrees']));
  expect(cautions.map(({ code }) => code)).not.toContain('same-name');
  for (const { placed: own, outline, number } of sheets) {
    expect(outline!.plates.map(({ id }) => id)).toEqual(own.map(({ id }) => id));
    const lines = readFileSync(join(place.path, 'sheets', `class.sheet${number}.outline.svg`), 'utf8');
    expect(lines.match(/<path /g)).toHaveLength(own.length);
  }

  const again = ['remake', 'sheets/class.gang.json', '--input', 'plates', '--dry-run', '--json'];
  const remade = remakeSchema.parse(JSON.parse((await cli(place, again)).out));
  expect(remade).toMatchObject({ sameBits: true, differences: [] });

  const plan = slotsSchema.parse(day.slots);
  expect(plan.fits).toBe(true);
  expect(plan.sheets.map(({ totalS }) => totalS)).toEqual(sheets.map(({ time }) => time!.totalS));
  expect(plan.slots.map(({ lengthS }) => lengthS)).toEqual([5400, 3600]);
  for (const { lengthS, usedS } of plan.slots) expect(usedS).toBeLessThanOrEqual(lengthS - plan.reserveS);
  expect(plan.slots.flatMap(({ parts }) => parts.map(({ name }) => name)).toSorted()).toEqual(
    plan.sheets.map(({ name }) => name).toSorted(),
  );
});
