import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { loop } from '../../examples/loop.mjs';
import type { CurveFile } from '../../src/core/calibration/curve-file.ts';
import type { Report } from '../../src/report/schema.ts';
import type { PlateEntry } from '../../src/store/notebook/entry.ts';
import { cli, freshPlace } from './run-cli.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-loop-'));
const inFolder = (name: string): string => join(folder, name);
const read = <Value>(path: string): Value => JSON.parse(readFileSync(path, 'utf8')) as Value;
const place = freshPlace();

let steps: ReturnType<typeof loop>;
beforeAll(() => {
  steps = loop(folder, 'intaglio', true);
}, 300_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const plate = [
  ...['--process', 'intaglio', '--width', '119mm', '--height', '29mm', '--border', '10mm', '--fit', 'fill'],
  ...['--dpi', '300', '--screen', 'cell', '--cell', '0.17mm'],
];
const prepared = async (name: string, ...words: string[]) => {
  const run = await cli(place, ['prepare', inFolder('steps.png'), '--name', name, ...words]);
  expect(run.code, run.err).toBe(0);
  return { ...run, report: read<Report>(join(place.path, `${name}.report.json`)) };
};
const curve = ['--curve', inFolder('shop.curve.json')];

describe('the loop: test plate, press, scan, curve, plate, press', () => {
  // ± 3 L* is what the loop promises
  test('in intaglio every step is printed as light as asked', () => {
    expect(steps).toHaveLength(11);
    for (const { code, wanted, is } of steps) expect(Math.abs(is - wanted), `code ${code}`).toBeLessThan(3);
  });

  test('in relief too, with cells that stand', { timeout: 300_000 }, () => {
    for (const { code, wanted, is } of loop(join(folder, 'relief'), 'relief', true))
      expect(Math.abs(is - wanted), `code ${code}`).toBeLessThan(3);
  });
});

describe('prepare --curve', () => {
  test('the report says which, and another plate from it has the same bits on any threads', async () => {
    const first = read<Report>(inFolder('steps.report.json'));
    expect(first.curve).toMatchObject({ name: 'shop' });
    expect(first.job).toMatchObject({ controlStrip: true, compensate: false, screen: 'cell' });
    writeFileSync(join(place.path, 'a.job.json'), JSON.stringify(first.job));
    const words = ['--job', 'a.job.json', '--curve', inFolder('steps.report.json'), '--workers', '3'];
    const { report } = await prepared('again', ...words);
    expect(report.bitsSha256).toBe(first.bitsSha256);
    expect(report.curve).toEqual(first.curve);
    const { report: without } = await prepared('without', '--job', 'a.job.json');
    expect(without.curve).toBeNull();
    expect(without.bitsSha256).not.toBe(first.bitsSha256);
  });

  test('with no screen named it takes the curve’s screen and resolution', async () => {
    const { report, err } = await prepared('a', ...plate.slice(0, -6), ...curve);
    expect(report.screen).toMatchObject({ kind: 'cell' });
    expect(report.plate.dpi).toBe(300);
    expect(report.origins).toMatchObject({ screen: 'curve', cellMm: 'curve', dpi: 'curve' });
    expect(err).toContain('shop, measured on');
  });

  test('a curve of another screen, resolution, process', async () => {
    const codes = async (...words: string[]) => {
      const { report } = await prepared(`n${words.join('')}`, ...plate.slice(0, -6), ...words, ...curve);
      return report.cautions.flatMap(({ code, severity }) =>
        /curve/.test(code) ? [`${code} ${severity}`] : [],
      );
    };
    expect(await codes('--dpi', '300', '--screen', 'grain')).toEqual(['curve-of-another-screen warn']);
    expect(await codes('--dpi', '300', '--cell', '0.3mm')).toEqual(['curve-of-another-screen warn']);
    expect(await codes('--dpi', '350', '--screen', 'cell', '--cell', '0.17mm')).toEqual([
      'curve-of-another-dpi warn',
    ]);
    expect(await codes('--dpi', '300', '--screen', 'threshold')).toEqual(['curve-not-used note']);
    const relief = ['--process', 'relief', '--width', '50mm', ...curve];
    const run = await cli(place, ['prepare', inFolder('steps.png'), ...relief]);
    expect([run.code, run.err]).toEqual([2, expect.stringContaining('was measured on a plate for intaglio')]);
  });

  test('a curve measured today is not older or younger, east or west of Greenwich', async () => {
    for (const TZ of ['Pacific/Kiritimati', 'Pacific/Pago_Pago']) {
      const day = new Intl.DateTimeFormat('sv-SE', { timeZone: TZ }).format(new Date());
      const fresh = { ...read<CurveFile>(inFolder('shop.curve.json')), measuredOn: day };
      writeFileSync(join(place.path, 'fresh.curve.json'), JSON.stringify(fresh));
      writeFileSync(join(place.path, 'book.jsonl'), '');
      const words = ['--curve', 'fresh.curve.json', '--notebook', 'book.jsonl', '--name', TZ.slice(-4)];
      const run = await cli(place, ['prepare', inFolder('steps.png'), ...plate, ...words], { env: { TZ } });
      expect(run.code, run.err).toBe(0);
      expect(read<PlateEntry>(join(place.path, 'book.jsonl')).curve).toMatchObject({ ageDays: 0 });
    }
  });

  test('the workshop’s curve of the sheet is used where all is as it was measured; an old one is told', async () => {
    const old = { ...read<CurveFile>(inFolder('shop.curve.json')), measuredOn: '2020-01-02', batch: 'B' };
    writeFileSync(join(place.path, 'old.curve.json'), JSON.stringify(old));
    const entry = { id: 'old', materialId: 'acr', screen: 'cell', file: 'old.curve.json' };
    writeFileSync(
      join(place.path, 'etchwright.workshop.json'),
      JSON.stringify({
        version: 1,
        name: 'W',
        materials: [{ id: 'acr', kind: 'acrylic', batch: 'C' }],
        curves: [{ ...entry, measuredOn: '2020-01-02' }],
      }),
    );
    writeFileSync(join(place.path, 'book.jsonl'), '');
    const { report, err } = await prepared('kept', ...plate, '--material', 'acr', '--notebook', 'book.jsonl');
    expect(report.curve).toMatchObject({ name: 'shop', measuredOn: '2020-01-02' });
    expect(err).toMatch(/was measured \d+ days ago/);
    expect(report.cautions.map(({ code }) => code)).toContain('curve-of-another-batch');
    expect(JSON.stringify(report)).not.toMatch(/days ago/);
    const noted = read<PlateEntry>(join(place.path, 'book.jsonl'));
    expect(noted.curve?.ageDays).toBe(Number(/was measured (\d+) days ago/.exec(err)?.[1]));
    expect(noted.cautions.map(({ code }) => code)).toContain('curve-of-another-batch');
    const { out } = await cli(place, ['notebook', 'show', '1', '--notebook', 'book.jsonl']);
    expect(out.replace(/\s+/g, ' ')).toContain('days old, more than 90: it was to be measured again');
    const other = await prepared('other', ...plate.slice(0, -4), '--screen', 'grain', '--material', 'acr');
    expect(other.report.curve).toBeNull();
    expect(other.report.cautions.map(({ code }) => code)).toContain('no-curve-for-screen');
  });
});

describe('--control-strip', () => {
  test('its bits are the same on one thread and on several, and the picture’s own are untouched', async () => {
    // 1,240 rows: the strip lies across two bands
    const settings = [...plate, '--height', '31.5mm', '--dpi', '1000'];
    const pixels = async (name: string, ...words: string[]) => {
      const { report } = await prepared(name, ...settings, ...words);
      const raw = await sharp(join(place.path, `${name}.plate.png`))
        .greyscale()
        .raw()
        .toBuffer();
      return { raw, bits: report.bitsSha256, widthPx: report.plate.widthPx, heightPx: report.plate.heightPx };
    };
    const [one, three, bare] = [
      await pixels('one', '--control-strip', '--workers', '1'),
      await pixels('three', '--control-strip', '--workers', '3'),
      await pixels('bare'),
    ];
    expect(three.bits).toBe(one.bits);
    const { widthPx, heightPx } = one;
    const borderPx = Math.ceil((10 / 25.4) * 1000);
    let [inside, foot, sides] = [0, 0, 0];
    for (let y = 0; y < heightPx; y++)
      for (let x = 0; x < widthPx; x++) {
        if (one.raw[y * widthPx + x] === bare.raw[y * widthPx + x]) continue;
        const isPicture = [x, widthPx - 1 - x, y, heightPx - 1 - y].every((at) => at >= borderPx);
        const isMiddle = Math.abs(x - widthPx / 2) < (13 / 25.4) * 1000;
        if (isPicture) inside++;
        else if (isMiddle) foot++;
        else sides++;
      }
    expect(inside).toBe(0);
    // 0, 25, 50, 75 and 80 % of 5 × 5 mm, and three discs of 4 mm with a ring; spots are not allowed for
    const mm2 = (px: number): number => px * 0.0254 ** 2;
    expect(mm2(foot)).toBeGreaterThan(0.97 * 25 * 2.3);
    expect(mm2(sides)).toBeCloseTo(Math.PI * 4 * (3 + 0.75), 0);
  });

  test('what has nothing to do beside it is told at once, and which layout is wanted', async () => {
    const words = ['--into', 'shop.json', '--ruler', '10cm', '--measured-on', '2031-05-03'];
    const { code, err } = await cli(place, [
      'calibrate',
      'a.png',
      '--control-strip',
      'a.curve.json',
      ...words,
    ]);
    expect(code).toBe(2);
    expect(err).toContain('so --ruler, --measured-on and --into have nothing to do');
    expect(err).toContain('the .strip.json written beside it');
  });

  test('says how wide a border it wants, and which screens have none', async () => {
    const wish = [
      'prepare',
      inFolder('steps.png'),
      '--process',
      'relief',
      '--width',
      '80mm',
      '--control-strip',
    ];
    const narrow = await cli(place, [...wish, '--border', '5mm']);
    expect([narrow.code, narrow.err]).toEqual([2, expect.stringContaining('wants a border of 9 mm or more')]);
    const flat = await cli(place, [...wish, '--border', '10mm', '--screen', 'threshold']);
    expect([flat.code, flat.err]).toEqual([2, expect.stringContaining('draws no tones in marks')]);
  });
});
