/** A picture of one plate pixel to each of its own, and what must not happen to it. */
import { readFileSync } from 'node:fs';
import { PNG } from 'pngjs';
import { describe, expect, test } from 'vitest';
import { freshPlace } from '../cli/run-cli.ts';
import { rowsOf } from './judges.ts';
import { makePlate, oneToOne } from './make.ts';
import { corpus, greyPng, noise, save } from './pictures.ts';

const place = freshPlace();

function darkRows(path: string): string[] {
  const { width, height, data } = PNG.sync.read(readFileSync(path));
  return Array.from({ length: height }, (_, y) =>
    Array.from({ length: width }, (_, x) => (data[4 * (y * width + x)]! < 128 ? '1' : '0')).join(''),
  );
}

const turned = (rows: readonly string[]) => rows.map((row) => row.replace(/./g, (bit) => `${1 - +bit}`));
const mirrored = (rows: readonly string[]) => rows.map((row) => [...row].reverse().join(''));

describe.each(['threshold', 'errordiffusion', 'bayer'])('%s', (screen) => {
  test('an unresized picture of black and white passes through untouched', async () => {
    const path = save(place.path, 'noise.png', noise(203, 57));
    const settings = { ...oneToOne(203, 57), screen, capPercent: 100, facing: 'print' };
    const etched = await makePlate(place.path, path, { ...settings, process: 'intaglio' }, 'intaglio');
    expect(rowsOf(etched.plate)).toEqual(darkRows(path));
    const kept = await makePlate(place.path, path, { ...settings, process: 'relief' }, 'relief');
    expect(rowsOf(kept.plate)).toEqual(turned(darkRows(path)));
  });

  test('C21 a picture already screened is not screened again at its own size', async () => {
    const path = corpus('good/gen-halftoned.png');
    const settings = { ...oneToOne(400, 400), screen, capPercent: 100, process: 'intaglio', facing: 'print' };
    expect(rowsOf((await makePlate(place.path, path, settings)).plate)).toEqual(darkRows(path));
  });
});

test.each(['relief', 'intaglio'])('check 4: one mirror for %s, none for --facing print', async (process) => {
  // acc0, a row of ten, is cd40 from behind
  const path = save(
    place.path,
    'row.png',
    greyPng(10, 4, (x, y) => (y > 0 || '1010110011'[x] === '1' ? 0 : 255)),
  );
  const settings = { process, screen: 'threshold', capPercent: 100, ...oneToOne(10, 4, 50) };
  const ink = process === 'relief' ? turned : (rows: readonly string[]) => [...rows];
  const asPlate = await makePlate(place.path, path, settings, 'plate');
  expect(ink(rowsOf(asPlate.plate))[0]).toBe('1100110101');
  expect(asPlate.report.plate).toMatchObject({ facing: 'plate', mirrored: true });
  const asPrint = await makePlate(place.path, path, { ...settings, facing: 'print' }, 'print');
  expect(ink(rowsOf(asPrint.plate))[0]).toBe('1010110011');
  expect(asPrint.report.plate).toMatchObject({ facing: 'print', mirrored: false });
  expect(mirrored(rowsOf(asPrint.plate))).toEqual(rowsOf(asPlate.plate));
});
