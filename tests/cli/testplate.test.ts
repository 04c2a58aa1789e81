import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { getBit } from '../../src/core/bitmap.ts';
import { bayer } from '../../src/core/screens/bayer.ts';
import type { ScreenDef } from '../../src/core/screens/contract.ts';
import { testPlateInk } from '../../src/core/testplate/draw.ts';
import { layoutId, parseTestPlate, type TestPlateLayout } from '../../src/core/testplate/layout.ts';
import { samplePlace } from '../../src/core/testplate/samples.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const layoutAt = (name: string): TestPlateLayout =>
  parseTestPlate(JSON.parse(readFileSync(join(place.path, name), 'utf8')));

describe('testplate', () => {
  test.each([
    ['relief', 1],
    ['intaglio', 0],
  ] as const)('%s: the plate is the drawing of its layout, mirrored', async (process, paperIsEtched) => {
    const made = await cli(place, ['testplate', '--process', process, '--dpi', '254', '--screen', 'bayer']);
    expect(made.err).toContain('a grain of 0.1 mm is too fine for 254 dpi');
    expect([made.code, made.out]).toEqual([
      0,
      'testplate.plate.png\ntestplate.testplate.json\ntestplate.jobsheet.html\ntestplate.report.json\n',
    ]);
    const sheet = readFileSync(join(place.path, 'testplate.jobsheet.html'), 'utf8');
    expect(sheet).toContain(`Test plate <bdi>${layoutAt('testplate.testplate.json').id}</bdi>`);
    // wells are a matter of relief, pools one of intaglio
    expect(sheet.includes('cleared wells')).toBe(process === 'relief');
    expect(sheet.includes('etched squares')).toBe(process === 'intaglio');
    const layout = layoutAt('testplate.testplate.json');
    const { id, ...rest } = layout;
    expect(layoutId(rest)).toBe(id);
    const def = bayer as unknown as ScreenDef;
    const { params } = layout.screen;
    const at = samplePlace(layout);
    const ink = testPlateInk(layout, {
      def,
      params,
      place: at,
      tables: def.build?.(params, at),
      toneTable: null,
    });
    const file = sharp(join(place.path, 'testplate.plate.png'));
    const { density } = await file.metadata();
    expect(density).toBe(254);
    const { data, info } = await file.greyscale().raw().toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([1500, 1000]);
    let wrong = 0;
    for (let y = 0; y < 1000; y++)
      for (let x = 0; x < 1500; x++) {
        const etched = getBit(ink, 1499 - x, y) ^ paperIsEtched;
        if ((data[y * 1500 + x]! < 128 ? 1 : 0) !== etched) wrong++;
      }
    expect(wrong).toBe(0);
  });

  test('--pass-ladder writes each further pass, of the same size, in every format', async () => {
    const made = await cli(place, [
      ...['testplate', '--process', 'intaglio', '--dpi', '127', '--pass-ladder'],
      ...['--name', 'tp', '--out', 'plates', '--format', 'png,tiff', '--json'],
    ]);
    expect(made.code).toBe(0);
    const { ok, layout, files } = JSON.parse(made.out) as {
      ok: boolean;
      layout: unknown;
      files: { name: string }[];
    };
    expect(ok).toBe(true);
    expect(parseTestPlate(layout).ladder).toHaveLength(4);
    expect(files).toHaveLength(8);
    expect(namesIn(join(place.path, 'plates'))).toEqual(
      ['tp-pass2.plate', 'tp-pass3.plate', 'tp-pass4.plate', 'tp.plate']
        .flatMap((stem) => [`${stem}.png`, `${stem}.tif`])
        .concat('tp.testplate.json', 'tp.jobsheet.html', 'tp.report.json')
        .sort(),
    );
    // in a further pass only the ladder is etched: 5 × 5 mm at 5 pixels to the millimetre, three, two and one of them
    for (const [pass, areas] of [
      [2, 3],
      [3, 2],
      [4, 1],
    ] as const) {
      const { data } = await sharp(join(place.path, `plates/tp-pass${pass}.plate.png`))
        .greyscale()
        .raw()
        .toBuffer({ resolveWithObject: true });
      expect(data.filter((value) => value < 128).length).toBe(areas * 625);
    }
  });

  test('writes nothing where the plate is too small, the sheet forbidden, or the screen makes no marks', async () => {
    const cases = [
      [['--width', '60', '--height', '40'], 2, /60 × 40 mm has no room/],
      [['--material', 'vinyl'], 5, /vinyl|PVC/i],
      [['--screen', 'none'], 2, /makes no marks/],
      [['--out', '-'], 2, /Name a folder/],
    ] as const;
    for (const [flags, code, words] of cases) {
      const made = await cli(place, ['testplate', '--process', 'relief', '--dpi', '127', ...flags]);
      expect([flags, made.code]).toEqual([flags, code]);
      expect(made.err).toMatch(words);
      expect(namesIn(place.path)).toEqual([]);
    }
  });
});
