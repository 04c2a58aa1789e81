import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import * as z from 'zod';
import { reportSchema } from '../../src/report/schema.ts';
import { bitsSha256, seenInPng, seenInTiff, sha256, shareOfBlack } from '../run/judges.ts';
import { corpus, photograph, save } from '../run/pictures.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
type Json = Record<string, unknown>;

test('the report fits the schema the program prints, and nothing more or less does', async () => {
  const args = ['prepare', corpus('good/gen-icc-displayp3.tif'), '--process', 'intaglio', '--width', '40'];
  const making = ['--material', 'acrylic', '--depth', '0.2', '--name', 'a'];
  const made = await cli(place, [...args, ...making]);
  expect(made.code, made.err).toBe(0);
  const report: Json = JSON.parse(readFileSync(join(place.path, 'a.report.json'), 'utf8'));
  expect(reportSchema.parse(report)).toEqual(report);

  const printed: Json = JSON.parse((await cli(place, ['schema', 'report'])).out);
  expect(printed).toMatchObject({ title: 'etchwright report', type: 'object', additionalProperties: false });
  expect(Object.keys(printed['properties'] as Json)).toEqual(Object.keys(report));
  expect(printed['required']).toEqual(Object.keys(report));
  // made anew from the printed text alone
  const check = z.fromJSONSchema(printed as Parameters<typeof z.fromJSONSchema>[0]);
  expect(check.safeParse(report).error).toBeUndefined();
  for (const key of Object.keys(report)) {
    const { [key]: _left, ...without } = report;
    expect(check.safeParse(without).success, `without ${key}`).toBe(false);
  }
  expect(check.safeParse({ ...report, extra: 1 }).success).toBe(false);
  expect(check.safeParse({ ...report, bitsSha256: 'x' }).success).toBe(false);
  const plate = report['plate'] as Json;
  expect(check.safeParse({ ...report, plate: { ...plate, widthPx: 1.5 } }).success).toBe(false);
});

test('bitsSha256, coverage and the files are what other readers find', async () => {
  const picture = save(place.path, 'sea.png', photograph(333, 222));
  const args = [
    'prepare',
    picture,
    '--process',
    'relief',
    '--screen',
    'bayer',
    '--width',
    '61.7',
    '--border',
    '2.3',
  ];
  const made = await cli(place, [...args, '--format', 'png,tiff', '--json']);
  expect(made.code, made.err).toBe(0);
  const report = reportSchema.parse(JSON.parse(made.out));
  const [png, tiff] = report.files.map(({ name }) => readFileSync(join(place.path, name)));
  const seen = seenInPng(png!);
  expect(report.bitsSha256).toBe(bitsSha256(seen));
  expect(report.bitsSha256).toBe(bitsSha256(seenInTiff(tiff!)));
  expect([report.plate.widthPx, report.plate.heightPx]).toEqual([seen.widthPx, seen.heightPx]);
  expect(seen.widthPx % 8).not.toBe(0); // there is padding, and it must be 0
  expect(report.coverage.etched).toBeCloseTo(shareOfBlack(seen), 8);
  for (const share of ['etched', 'kept', 'inked'] as const)
    expect(String(report.coverage[share])).toMatch(/^0\.\d{1,9}$/);
  const pitchMm = 25.4 / 500;
  const areaMm2 = seen.widthPx * seen.heightPx * pitchMm ** 2;
  expect(report.coverage.etchedMm2).toBeCloseTo(shareOfBlack(seen) * areaMm2, 6);
  expect(report.coverage.inked).toBeCloseTo(1 - report.coverage.etched, 8);
  expect(report.files.map(({ bytes, sha256 }) => [bytes, sha256])).toEqual([
    [png!.length, sha256(png!)],
    [tiff!.length, sha256(tiff!)],
  ]);
  // 500 dpi are 19,685.04 pixels a metre, of which PNG stores 19,685 (PNG 11.3.5.3); TIFF stores a fraction
  expect(report.files.map(({ statedDpi }) => statedDpi)).toEqual([
    { x: 499.999, y: 499.999 },
    { x: 500, y: 500 },
  ]);
  expect(report.input.sha256).toBe(sha256(readFileSync(picture)));
  // 2.3 mm of border at 500 dpi are 45 px, etched away on a block
  const { widthPx, heightPx } = seen;
  expect(shareOfBlack(seen, 0, 0, widthPx, 45)).toBe(1);
  expect(shareOfBlack(seen, 0, heightPx - 45, widthPx, 45)).toBe(1);
  expect(shareOfBlack(seen, 0, 0, 45, heightPx)).toBe(1);
  expect(shareOfBlack(seen, widthPx - 45, 0, 45, heightPx)).toBe(1);
  expect(shareOfBlack(seen, 45, 45, widthPx - 90, heightPx - 90)).toBeLessThan(0.9);
});

test('passes given with a depth say what one of them takes away; a known sheet says it from memory', async () => {
  const passesOf = async (...making: string[]) => {
    const size = ['--process', 'relief', '--width', '40', '--depth', '2mm', '--dry-run'];
    const made = await cli(place, ['prepare', corpus('good/gen-wedge21.png'), ...size, ...making]);
    const { count, depthMm, depthPerPassMm, basis } = reportSchema.parse(JSON.parse(made.out)).passes!;
    return [count, depthMm, depthPerPassMm, basis, / {2}passes .+/.exec(made.err)?.[0]];
  };
  expect(await passesOf('--passes', '3')).toEqual([
    3,
    2,
    0.666666667,
    'given',
    '  passes    3 for 2 mm at 0.667 mm a pass',
  ]);
  expect(await passesOf('--material', 'wood')).toEqual([
    4,
    2,
    0.5,
    'from-memory',
    '  passes    4 for 2 mm at 0.5 mm a pass (from memory: measure your own)',
  ]);
});
