import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { checkSchema } from '../../src/report/check-schema.ts';
import { gangSchema } from '../../src/report/gang/schema.ts';
import { reportSchema } from '../../src/report/schema.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const DPI = 127; // five pixels to the millimetre: small files, quick tests

interface Grey {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** A file as libvips sees it: one code a pixel. */
async function seen(name: string): Promise<Grey> {
  const { data, info } = await sharp(join(place.path, name))
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  expect(info.channels).toBe(1);
  return { width: info.width, height: info.height, data };
}

/** A plate that no other looks like: stripes of its own width, and one corner etched. */
async function drawPlate(name: string, wMm: number, hMm: number, stripe: number, dpi = DPI): Promise<Grey> {
  const [width, height] = [Math.round((wMm * dpi) / 25.4), Math.round((hMm * dpi) / 25.4)];
  const data = new Uint8Array(width * height).fill(255);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      if ((x + 2 * y) % (stripe + 5) === 0 || (x < 20 && y < 8)) data[y * width + x] = 0;
  await sharp(data, { raw: { width, height, channels: 1 } })
    .withMetadata({ density: dpi })
    .toFile(join(place.path, name));
  return { width, height, data };
}

type Gang = ReturnType<typeof gangSchema.parse>;
const gangAt = (name: string): Gang =>
  gangSchema.parse(JSON.parse(readFileSync(join(place.path, name), 'utf8')));

/** Pixels of a box of the sheet, turned back upright where the plate lies turned. */
function cut(
  sheet: Grey,
  { xPx, yPx, widthPx, heightPx, turned }: Gang['sheets'][number]['placed'][number],
): Grey {
  const [width, height] = turned ? [heightPx, widthPx] : [widthPx, heightPx];
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      // clockwise, the pixel (x, y) of a plate comes to (height − 1 − y, x)
      const [dx, dy] = turned ? [height - 1 - y, x] : [x, y];
      data[y * width + x] = sheet.data[(yPx + dy) * sheet.width + xPx + dx]!;
    }
  return { width, height, data };
}

const differing = (a: Grey, b: Grey): number =>
  a.data.length === b.data.length ? a.data.filter((code, i) => code !== b.data[i]).length : Number.NaN;

/** Where nothing should be etched: what is left of the sheet without plates and lettering. */
function strayPixels(sheet: Grey, { placed }: Gang['sheets'][number]): number {
  const left = sheet.data.slice();
  const px = (mm: number): number => Math.round((mm * DPI) / 25.4);
  for (const { xPx, yPx, widthPx, heightPx, label } of placed)
    for (const box of [
      { x: xPx, y: yPx, w: widthPx, h: heightPx },
      ...(label ? [{ x: px(label.xMm), y: px(label.yMm), w: px(label.widthMm), h: px(label.heightMm) }] : []),
    ])
      for (let y = box.y; y < box.y + box.h; y++)
        left.fill(255, y * sheet.width + box.x, y * sheet.width + box.x + box.w);
  return left.filter((code) => code !== 255).length;
}

describe('a class of fifteen', () => {
  const names = Array.from({ length: 15 }, (_, i) => `p${i + 1}.plate.png`);
  const args = [
    ...['--sheet-width', '600mm', '--sheet-height', '400mm', '--gutter', '6mm'],
    ...['--process', 'intaglio', '--material', 'acrylic', '--material-confirmed', 'B. Staff, 3 May'],
  ];

  test('150 × 100 mm on sheets of 600 × 400 mm: two sheets, every plate whole at its place, named, nothing stray', async () => {
    const plates: Grey[] = [];
    for (const [i, name] of names.entries()) plates.push(await drawPlate(name, 150, 100, i));
    const run = await cli(place, ['gang', ...names, ...args]);
    expect([run.code, run.out]).toEqual([
      0,
      'gang.sheet1.plate.png\ngang.sheet2.plate.png\ngang.gang.json\ngang.labels.html\n',
    ]);
    expect(run.err).toContain('15 plates → 2 sheets of 600 × 400 mm');
    const report = gangAt('gang.gang.json');
    expect(report.arrangement).toMatchObject({ plates: 15, leastSheets: 2 });
    expect(report.arrangement.share).toBeCloseTo((15 * 150 * 100) / (2 * 600 * 400), 3);
    expect(report.arrangement.totalS).toBeLessThan(report.arrangement.singlyS);
    const found: string[] = [];
    for (const [i, sheet] of report.sheets.entries()) {
      const file = `gang.sheet${i + 1}.plate.png`;
      const grey = await seen(file);
      expect([grey.width, grey.height]).toEqual([sheet.raster.widthPx, sheet.raster.heightPx]);
      expect((await sharp(join(place.path, file)).metadata()).density).toBe(DPI);
      for (const one of sheet.placed) {
        found.push(one.file);
        const plate = plates[names.indexOf(one.file)]!;
        expect(differing(cut(grey, one), plate)).toBe(0);
        expect(one.id).toBe(
          `${String(names.indexOf(one.file) + 1).padStart(2, '0')}-${one.bitsSha256.slice(0, 6)}`,
        );
        expect(one.label!.text).toBe(`${one.id} ${one.name}`);
        expect(one.xMm).toBeGreaterThan(5.8);
        expect(one.xMm + one.widthMm).toBeLessThanOrEqual(594.1);
        expect(one.yMm + one.heightMm).toBeLessThanOrEqual(394.1);
        for (const other of sheet.placed) {
          if (other === one) continue;
          const gap = Math.max(
            Math.max(one.xMm, other.xMm) - Math.min(one.xMm + one.widthMm, other.xMm + other.widthMm),
            Math.max(one.yMm, other.yMm) - Math.min(one.yMm + one.heightMm, other.yMm + other.heightMm),
          );
          expect(gap).toBeGreaterThanOrEqual(6 - 1e-9);
        }
      }
      expect(strayPixels(grey, sheet)).toBe(0);
    }
    expect(found.toSorted()).toEqual(names.toSorted());
    const page = readFileSync(join(place.path, 'gang.labels.html'), 'utf8');
    for (const { id } of report.sheets.flatMap(({ placed }) => placed))
      expect(page.split(id).length).toBeGreaterThan(3);
  });

  test('one thread or two, the bytes are the same; files that are there stay unless told otherwise', async () => {
    for (const [i, name] of names.slice(0, 4).entries()) await drawPlate(name, 150, 100, i);
    const four = ['gang', ...names.slice(0, 4), ...args, '--format', 'png,tiff,bmp,pdf'];
    expect((await cli(place, [...four, '--workers', '1', '--out', 'one'])).code).toBe(0);
    expect((await cli(place, [...four, '--workers', '2', '--out', 'two'])).code).toBe(0);
    const files = namesIn(join(place.path, 'one'));
    expect(files).toHaveLength(6);
    expect(namesIn(join(place.path, 'two'))).toEqual(files);
    for (const name of files)
      expect(
        readFileSync(join(place.path, 'one', name)).equals(readFileSync(join(place.path, 'two', name))),
      ).toBe(true);
    const again = await cli(place, [...four, '--out', 'one']);
    expect(again.code).toBe(4);
    expect((await cli(place, [...four, '--out', 'one', '--overwrite', '--quiet'])).err).toBe('');
    // one format holds the same as another
    const png = await seen('one/gang.sheet1.plate.png');
    expect(differing(await seen('one/gang.sheet1.plate.tif'), png)).toBe(0);
    const checked = await cli(place, [
      'check',
      'one/gang.sheet1.plate.bmp',
      '--process',
      'intaglio',
      '--json',
      '--no-hold',
    ]);
    expect(checkSchema.parse(JSON.parse(checked.out)).coverage.etched).toBeCloseTo(
      gangAt('one/gang.gang.json').sheets[0]!.etched,
      8,
    );
  });
});

describe('plates that this program has made', () => {
  const prepare = async (name: string, more: readonly string[] = []) => {
    await sharp({ create: { width: 60, height: 40, channels: 3, background: '#777' } })
      .composite([
        { input: { create: { width: 20, height: 12, channels: 3, background: '#111' } }, left: 4, top: 3 },
      ])
      .png()
      .toFile(join(place.path, `${name}.png`));
    const made = await cli(place, [
      ...['prepare', `${name}.png`, '--width', '60mm', '--height', '40mm', '--dpi', String(DPI), '--quiet'],
      ...more,
    ]);
    expect([made.err, made.code]).toEqual(['', 0]);
    return reportSchema.parse(JSON.parse(readFileSync(join(place.path, `${name}.report.json`), 'utf8')));
  };
  const relief = ['--process', 'relief', '--material', 'wood', '--screen', 'bayer'];

  test('--duplicates: each copy, cut out of the written sheet, has the hash that the report of the plate states', async () => {
    const made = await prepare('ferry', [...relief, '--format', 'png,pdf,tiff,bmp', '--fire', 'light']);
    for (const ending of ['png', 'pdf', 'tif', 'bmp']) {
      const run = await cli(place, [
        ...['gang', `ferry.plate.${ending}`, '--duplicates', '7', '--name', ending, '--json'],
        ...['--sheet-width', '200mm', '--sheet-height', '150mm', '--format', 'pdf,tiff'],
      ]);
      expect([run.err, run.code]).toEqual(['', 0]);
      const report = gangSchema.parse(JSON.parse(run.out));
      const placed = report.sheets.flatMap((sheet) => sheet.placed);
      expect(placed).toHaveLength(7);
      expect(new Set(placed.map(({ id }) => id)).size).toBe(7);
      expect(new Set(placed.map(({ bitsSha256 }) => bitsSha256))).toEqual(new Set([made.bitsSha256]));
      expect(new Set(placed.map((one) => one.report))).toEqual(new Set(['agrees']));
      expect([report.process, report.material?.id]).toEqual(['relief', 'wood']);
    }
    // the plate is etched where its file is light, the sheet where its own is dark
    const [sheet] = gangAt('png.gang.json').sheets;
    const plate = await seen('ferry.plate.png');
    const lies = cut(await seen('png.sheet1.plate.tif'), sheet!.placed[0]!);
    expect(differing(lies, { ...plate, data: plate.data.map((code) => 255 - code) })).toBe(0);
  });

  test('resolution, process and material that differ are told all at once, with the plates', async () => {
    await prepare('a', relief);
    await prepare('b', [
      '--process',
      'intaglio',
      '--material',
      'acrylic',
      '--material-confirmed',
      'B., 3 May',
      '--screen',
      'bayer',
    ]);
    await drawPlate('c.png', 60, 40, 3, 254);
    await drawPlate('d.png', 300, 250, 3);
    const run = await cli(place, [
      ...['gang', 'a.plate.png', 'b.plate.png', 'c.png', 'd.png', '--gutter', '0.5mm'],
      ...['--sheet-width', '200mm', '--sheet-height', '100mm', '--out', 'new'],
    ]);
    expect(run.code).toBe(2);
    for (const said of [
      '127 dpi: a.plate.png, b.plate.png, d.png; 254 dpi: c.png',
      'relief: a.plate.png; intaglio: b.plate.png',
      'wood: a.plate.png; acrylic: b.plate.png',
      '--gutter 0.5 mm is less than the kerf of 0.2 mm and the saw allowance of 1 mm together',
      'd.png (300 × 250 mm) does not fit a sheet of 200 × 100 mm',
    ])
      expect(run.err).toContain(said);
    expect(existsSync(join(place.path, 'new'))).toBe(false);
    writeFileSync(join(place.path, 'e.png'), 'no picture');
    const unread = await cli(place, ['gang', 'a.plate.png', 'c.png', 'e.png', 'f.png', '--json']);
    expect(unread.code).toBe(3);
    const { problems } = (JSON.parse(unread.err) as { error: { problems: { code: string }[] } }).error;
    expect(problems.map(({ code }) => code)).toEqual(['not-a-picture', 'picture-not-found', 'different-dpi']);
  });

  test('a file that its report does not speak of is told; --strict refuses it, and nothing is written', async () => {
    await prepare('a', relief);
    await drawPlate('a.plate.png', 60, 40, 3);
    const run = await cli(place, ['gang', 'a.plate.png', '--strict', '--out', 'new']);
    expect(run.code).toBe(5);
    expect(run.err).toContain('tells of other bits');
    expect(existsSync(join(place.path, 'new'))).toBe(false);
    const told = await cli(place, ['gang', 'a.plate.png', '--dry-run', '--out', 'new', '--quiet']);
    expect([told.code, told.err]).toEqual([0, '']);
    const report = gangSchema.parse(JSON.parse(told.out));
    expect(report.cautions.map(({ code }) => code)).toContain('other-bits-than-reported');
    expect(report.sheets[0]!.placed[0]!.report).toBe('differs');
    expect(report.sheets[0]!.files).toEqual([]);
    expect(existsSync(join(place.path, 'new'))).toBe(false);
  });
});

describe('what is refused', () => {
  test('greys, duplicates of many, a stream, a sheet that must not go in; plates are never written over', async () => {
    await sharp({ create: { width: 50, height: 50, channels: 3, background: '#777' } })
      .withMetadata({ density: DPI })
      .png()
      .toFile(join(place.path, 'grey.png'));
    const grey = await cli(place, ['gang', 'grey.png']);
    expect([grey.code, grey.err]).toEqual([2, expect.stringContaining('neither black nor white')]);
    await drawPlate('p.png', 40, 30, 4);
    const many = await cli(place, ['gang', 'p.png', 'p.png', '--duplicates', '2', '--out', '-']);
    expect(many.code).toBe(2);
    expect(many.err).toContain('--duplicates is given for 2 plates');
    expect(many.err).toContain('--out - cannot carry a gang');
    const vinyl = await cli(place, ['gang', 'p.png', '--material', 'vinyl', '--out', 'new']);
    expect([vinyl.code, vinyl.err]).toEqual([5, expect.stringContaining('must not go into the machine')]);
    expect(existsSync(join(place.path, 'new'))).toBe(false);
    // the plate bears the name of a sheet
    await drawPlate('g.sheet1.plate.png', 40, 30, 4);
    const over = await cli(place, ['gang', 'g.sheet1.plate.png', '--name', 'g', '--overwrite']);
    expect(over.code).toBe(4);
  });

  test('--turn off keeps plates upright; one that fits turned only is told so', async () => {
    await drawPlate('p.png', 40, 90, 4);
    const off = await cli(place, [
      'gang',
      'p.png',
      '--sheet-width',
      '110',
      '--sheet-height',
      '60',
      '--turn',
      'off',
    ]);
    expect([off.code, off.err]).toEqual([2, expect.stringContaining('It fits turned')]);
    const on = await cli(place, ['gang', 'p.png', '--sheet-width', '110', '--sheet-height', '60', '--json']);
    expect(on.code).toBe(0);
    const [one] = gangSchema.parse(JSON.parse(on.out)).sheets[0]!.placed;
    expect(one).toMatchObject({ turned: true, widthPx: 450, heightPx: 200 });
  });

  test('a workshop’s bed is the sheet unless another is given; a sheet that hangs over it is refused', async () => {
    writeFileSync(
      join(place.path, 'etchwright.workshop.json'),
      JSON.stringify({
        version: 1,
        name: 'Print room',
        machines: [
          { id: 'long', bedMm: { x: 300, y: 120 }, kerfMm: 0.3, spotMm: 0.1, speedMmS: 400, accelMmS2: 4000 },
        ],
      }),
    );
    await drawPlate('p.png', 60, 40, 4);
    const bed = await cli(place, ['gang', 'p.png', '--duplicates', '3', '--json', '--dry-run']);
    expect(gangSchema.parse(JSON.parse(bed.out)).sheet).toMatchObject({
      widthMm: 300,
      heightMm: 120,
      kerfMm: 0.3,
    });
    const over = await cli(place, ['gang', 'p.png', '--sheet-width', '310mm']);
    expect([over.code, over.err]).toEqual([
      5,
      expect.stringContaining('does not lie on a bed of 300 × 120 mm'),
    ]);
  });
});

describe('what would do nothing, or something else than it says', () => {
  test('--dpi beside a file that states another: it would lie on the sheet at another size', async () => {
    await drawPlate('p.png', 60, 40, 4);
    const other = await cli(place, ['gang', 'p.png', '--sheet-width', '200mm', '--dpi', '300']);
    expect([other.code, other.out]).toEqual([2, '']);
    expect(other.err).toContain('the file states 127 dpi, and --dpi says 300. Leave --dpi out');
    expect(namesIn(place.path)).toEqual(['p.png']);
    const same = await cli(place, ['gang', 'p.png', '--process', 'relief', '--dpi', '127', '--dry-run']);
    expect(same.code).toBe(0);
  });

  test('settings of lines where there are none', async () => {
    await drawPlate('p.png', 60, 40, 4);
    const base = ['gang', 'p.png', '--process', 'relief'];
    const shape = ['--outline-inset', '1mm', '--outline-radius', '3mm', '--outline-tolerance', '0.3mm'];
    const early = await cli(place, [...base, ...shape]);
    expect([early.code, early.err.replaceAll(/\s+/g, ' ')]).toEqual([
      2,
      expect.stringContaining(
        '--outline-tolerance, --outline-inset and --outline-radius do nothing without --outline',
      ),
    ]);
    const late = await cli(place, [...base, '--outline-as', 'guide', '--outline-colour', 'red']);
    expect([late.code, late.err.replaceAll(/\s+/g, ' ')]).toEqual([
      2,
      expect.stringContaining('so --outline-as and --outline-colour have nothing to do. Leave them out'),
    ]);
    expect(namesIn(place.path)).toEqual(['p.png']);
  });
});

test('schema gang describes what is written', async () => {
  const { code, out } = await cli(place, ['schema', 'gang']);
  expect(code).toBe(0);
  const schema = JSON.parse(out) as { title: string; properties: Record<string, unknown> };
  expect(schema.title).toBe('etchwright gang');
  expect(Object.keys(schema.properties)).toContain('sheets');
});
