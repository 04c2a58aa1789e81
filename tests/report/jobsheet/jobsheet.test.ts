import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { LOCAL_RULES } from '../../../src/core/cautions-safety.ts';
import { processes } from '../../../src/core/processes/index.ts';
import { jobSheet, type SheetOptions } from '../../../src/report/jobsheet/jobsheet.ts';
import type { SheetPictures } from '../../../src/report/jobsheet/pictures.ts';
import { processSheets } from '../../../src/report/jobsheet/steps.ts';
import type { Report } from '../../../src/report/schema.ts';
import {
  allPictures,
  full,
  HOSTILE,
  hostile,
  noPictures,
  picture,
  plain,
  realReport,
  SETTINGS,
  type SheetProcess,
} from './sheets.ts';
import { type Element, elementsOf, named, parseStrictly, textOf } from './strict.ts';

const KINDS = Object.keys(SETTINGS) as SheetProcess[];
const reports = {} as Record<SheetProcess, Report>;

beforeAll(async () => {
  for (const kind of KINDS) reports[kind] = await realReport(kind);
});

const sheet = (
  report: Report,
  pictures: SheetPictures = noPictures,
  options: SheetOptions = plain,
): Element => parseStrictly(jobSheet(report, pictures, options));

const rowOf = (page: Element, label: string): string | undefined =>
  named(page, 'tr')
    .map((row) => row.children.map((cell) => (typeof cell === 'string' ? '' : textOf(cell))))
    .find(([first]) => first === label)?.[1];

const headings = (page: Element): string[] => [...named(page, 'h2'), ...named(page, 'caption')].map(textOf);

describe.each(KINDS)('the sheet of a real %s plate', (kind) => {
  test('is strictly formed, alone and without script, whatever its texts', () => {
    for (const page of [
      sheet(reports[kind]),
      sheet(hostile(reports[kind]), allPictures(30, 50), { ...full, name: HOSTILE, id: HOSTILE }),
    ]) {
      const elements = elementsOf(page);
      expect(elements.map(({ name }) => name)).not.toContain('script');
      const ids = elements.flatMap(({ attributes }) => attributes.get('id') ?? []);
      expect(new Set(ids).size).toBe(ids.length);
      for (const { name, attributes } of elements)
        for (const [attribute, value] of attributes) {
          expect(attribute, name).not.toMatch(/^on|href|action|formaction/);
          if (attribute === 'src') expect(value).toMatch(/^data:image\/png;base64,/);
          if (attribute === 'style')
            expect(value).toMatch(
              /^(width:[\d.]+mm;height:[\d.]+mm|grid-template-columns:repeat\(\d,1fr\))$/,
            );
        }
      expect(textOf(named(page, 'style')[0]!)).not.toMatch(/url\(|@import|</);
    }
  });

  test('adds no element for what comes from outside', () => {
    const harmless = (value: unknown): unknown =>
      JSON.parse(JSON.stringify(value).replaceAll(JSON.stringify(HOSTILE).slice(1, -1), 'word'));
    const names = (report: Report): string[] => elementsOf(sheet(report)).map(({ name }) => name);
    const bad = hostile(reports[kind]);
    expect(names(bad)).toEqual(names(harmless(bad) as Report));
  });

  test('says what the report says', () => {
    const report = reports[kind];
    const page = sheet(report, noPictures, full);
    expect(textOf(named(page, 'h1')[0]!)).toBe('ferry.sound');
    const text = textOf(page);
    for (const said of [
      report.bitsSha256.slice(0, 8),
      report.bitsSha256,
      'EQ-07',
      '120 × 80 mm',
      '1200 × 800 at 254 dpi',
      'Already plate-reading: do not mirror again.',
      `${kind} ${processes[kind].matrix}`,
      LOCAL_RULES,
    ])
      expect(text).toContain(said);
    expect(rowOf(page, 'fires')).toContain('on dark pixels');
    expect(rowOf(page, 'etched')).toContain(`${Number((report.coverage.etched * 100).toFixed(1))} %`);
    expect(rowOf(page, 'prints')).toContain(`${Number((report.coverage.inked * 100).toFixed(1))} %`);
    expect(rowOf(page, 'material')).toContain(SETTINGS[kind].material);
    expect(rowOf(page, 'permission')).toBe('own drawing');
    for (const { text: told, cure } of report.cautions.filter(({ code }) => !code.startsWith('safety'))) {
      expect(text).toContain(told);
      expect(text).toContain(cure);
    }
  });

  test('is the same each time', () => {
    const made = () => jobSheet(reports[kind], allPictures(60, 40), full);
    expect(made()).toBe(made());
  });
});

test('a plate that is not mirrored says so, and leaves the mirroring to be settled', () => {
  const report = reports.relief;
  const page = textOf(sheet({ ...report, plate: { ...report.plate, facing: 'print', mirrored: false } }));
  expect(page).not.toContain('do not mirror again');
  expect(page).toContain('Print-reading, not mirrored');
  expect(page).toContain('settle who mirrors it, once');
});

test('a file that fires on light pixels says so; files that differ leave it to be written in', () => {
  const [file] = reports.relief.files;
  const light = { ...file!, fire: 'light' as const };
  expect(rowOf(sheet({ ...reports.relief, files: [light] }), 'fires')).toContain('what is white in the file');
  expect(rowOf(sheet({ ...reports.relief, files: [file!, light] }), 'fires')).toBe('');
  expect(rowOf(sheet({ ...reports.relief, files: [] }), 'file')).toBeUndefined();
});

test('a plate of tone is not said to fire on single pixels, nor to have a screen of its own', () => {
  const page = sheet({ ...reports.relief, screen: { kind: 'none', tones: 256 } });
  expect(rowOf(page, 'fires')).toBe('hardest on dark pixels: black is etched in full, greys in part');
  expect(textOf(page)).toContain('varies its power with the tone');
  expect(textOf(page)).not.toContain('makes no screen of its own');
});

test('work that overruns its slot is booked for as such', () => {
  const { time } = reports.relief;
  const text = (fits: boolean) => textOf(sheet({ ...reports.relief, time: { ...time!, fits } }));
  expect(text(true)).toContain('A slot of 60 min is booked');
  expect(text(false)).toContain('more than one of 60; staff know of it');
});

test('only a sheet with grain is asked about its grain, and only boards about their sealing', () => {
  const rows = (kind: string) => {
    const material = { ...reports.relief.material!, kind };
    const page = sheet({ ...reports.relief, material });
    return ['grain', 'sealing'].filter((label) => rowOf(page, label) !== undefined);
  };
  expect(rows('wood')).toEqual(['grain']);
  expect(rows('plywood')).toEqual(['grain', 'sealing']);
  expect(rows('mdf')).toEqual(['sealing']);
  expect(rows('lino')).toEqual([]);
  expect(rows('acrylic')).toEqual([]);
});

test('a block has the stack to type-high, a plate its bevel', () => {
  const block = sheet(reports.relief, noPictures, full);
  expect(headings(block)).toContain('Beside type: the stack to type-high');
  // 23.32 mm less a block of 9 mm
  expect(textOf(block)).toContain('14.32 mm');
  expect(textOf(sheet(reports.relief))).not.toContain('14.32 mm');
  const plate = sheet(reports.intaglio);
  expect(headings(plate)).toContain('Bevel and edges');
  expect(headings(plate).join()).not.toContain('type-high');
});

test('missing pictures and charts leave nothing behind; those there are share one scale', () => {
  const bare = sheet(reports.relief);
  expect([...named(bare, 'figure'), ...named(bare, 'img')]).toEqual([]);
  for (let n = 1; n <= 4; n++) {
    const names = ['artwork', 'proof', 'plate', 'holdMap'].slice(4 - n);
    const some = { ...noPictures, ...Object.fromEntries(names.map((name) => [name, picture(240, 160)])) };
    const page = sheet(reports.relief, some);
    const images = named(page, 'img');
    expect(images).toHaveLength(n);
    const columns = /repeat\((\d),/.exec(
      named(page, 'section')
        .find(({ attributes }) => attributes.get('class') === 'pictures')!
        .attributes.get('style')!,
    )![1];
    expect(n % Number(columns)).toBe(0);
    for (const image of images) {
      const [, width, height] = /^width:([\d.]+)mm;height:([\d.]+)mm$/.exec(image.attributes.get('style')!)!;
      expect(Number(width) / Number(height)).toBeCloseTo(1.5, 2);
    }
  }
  expect(textOf(sheet(reports.relief, { ...noPictures, proof: picture(45, 30) }))).toContain('true size');
});

test('the letters of the hold map are told below it, those of kinds that were found, in its order', () => {
  const checks = reports.relief.hold!.checks.map((check, i) => ({
    ...check,
    count: i % 2 === 0 ? i + 1 : 0,
  }));
  const report = { ...reports.relief, hold: { ...reports.relief.hold!, checks } };
  const page = textOf(sheet(report, { ...noPictures, holdMap: picture(40, 30) }));
  expect(checks.map(({ code }) => code).slice(0, 5)).toEqual([
    'thin-walls',
    'small-dots',
    'gaps-fill',
    'floor-prints',
    'kept-ring',
  ]);
  expect(page).toContain(
    'On the map of what may not hold: A thin kept lines (1), B gaps that fill (3), C frame along the edge (5).',
  );
  expect(textOf(sheet(report, { ...noPictures, proof: picture(40, 30) }))).not.toContain('A thin kept lines');
  // how many pieces of an edge stand in the strip says nothing
  const sawn = { ...checks[0]!, code: 'in-saw-edge', count: 82 };
  const edge = { ...report, hold: { ...report.hold!, checks: [sawn] } };
  expect(textOf(sheet(edge, { ...noPictures, holdMap: picture(40, 30) }))).toMatch(
    /hold: A print at the sawn edge\./,
  );
});

test('a picture that is no bitmap within the sheet is refused', () => {
  const from = (dataUri: string) => () =>
    jobSheet(reports.relief, { ...noPictures, proof: { dataUri, widthMm: 10, heightMm: 10 } }, plain);
  for (const bad of [
    'https://example.org/a.png',
    'data:image/svg+xml;base64,PHN2Zy8+',
    'data:image/png;base64,AA"onerror="x',
    'javascript:alert(1)',
    '',
  ])
    expect(from(bad)).toThrow(/picture "proof"/);
  expect(from('data:image/png;base64,iVBORw0=')).not.toThrow();
});

test('cautions stand from grave to light, each once', () => {
  const grades = named(sheet(hostile(reports.relief)), 'b')
    .filter(({ attributes }) => attributes.get('class') === 'grade')
    .map(textOf);
  const order = ['stop', 'caution', 'note'];
  expect(grades).toEqual([...grades].sort((a, b) => order.indexOf(a) - order.indexOf(b)));
  expect(grades.filter((grade) => grade === 'stop')).toHaveLength(1);
});

test('no step gives leave, and every stage of the work has its steps', () => {
  for (const { steps } of Object.values(processSheets))
    for (const stage of Object.values(steps)) expect(stage.length).toBeGreaterThan(2);
  for (const kind of KINDS)
    expect(textOf(sheet(reports[kind])).replace('gives no leave', '')).not.toMatch(
      /\b(allowed|permitted|approved|you may|is safe|safe to|leave to)\b/i,
    );
});

test('any plate name stands whole in title and heading', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 40 }), (name) => {
      const page = sheet(reports.relief, noPictures, { ...plain, name });
      expect(textOf(named(page, 'h1')[0]!)).toBe(name);
      expect(textOf(named(page, 'title')[0]!).startsWith(`${name} – `)).toBe(true);
    }),
    { seed: 6, numRuns: 50 },
  );
});

test('the rule is 100 mm long, with a mark for each', () => {
  const svg = named(sheet(reports.relief), 'svg').find(
    ({ attributes }) => attributes.get('class') === 'ruler',
  )!;
  const [, , width] = svg.attributes.get('viewBox')!.split(' ');
  // one unit of the drawing is one millimetre
  expect(svg.attributes.get('width')).toBe(`${width}mm`);
  const d = named(svg, 'path')[0]!.attributes.get('d')!;
  const ticks = [...d.matchAll(/M([\d.]+) 1v/g)].map(([, x]) => Number(x));
  expect(ticks).toHaveLength(101);
  expect(ticks[100]! - ticks[0]!).toBe(100);
});
