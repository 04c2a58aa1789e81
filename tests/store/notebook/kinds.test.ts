import { parse } from 'csv-parse/sync';
import { describe, expect, test } from 'vitest';
import { compareEntries } from '../../../src/store/notebook/changes.ts';
import { csvHead, csvLine } from '../../../src/store/notebook/csv.ts';
import { notebookLines, type RunEntry } from '../../../src/store/notebook/entry.ts';
import { fits, type Wanted } from '../../../src/store/notebook/find.ts';
import { entryKinds } from '../../../src/store/notebook/kinds/index.ts';
import { openNumbering, readLine } from '../../../src/store/read-line.ts';
import {
  calibrationEntry,
  gangEntry,
  noteEntry,
  placed,
  plateEntry,
  stripEntry,
  testPlateEntry,
} from './entries.ts';

const ALL: readonly RunEntry[] = [
  plateEntry(),
  testPlateEntry(),
  gangEntry(),
  calibrationEntry(),
  stripEntry(),
];
const page = (entry: RunEntry, seen = {}) => ({ number: 1, entry, notes: [noteEntry(entry.id, seen)] });
const whats = (changes: readonly { what: string }[]): string[] => changes.map(({ what }) => what);

test('there is an entry of every kind here, and each comes back as it was written', () => {
  expect(ALL.map(({ kind }) => kind).toSorted()).toEqual(Object.keys(entryKinds).toSorted());
  for (const entry of ALL) expect(readLine(JSON.stringify(entry), notebookLines)).toEqual({ entry });
});

describe('comparing two of a kind', () => {
  test('with themselves they are the same, of several sheets, of curves and of strips no bits are known', () => {
    for (const entry of ALL)
      expect(compareEntries(entry, entry)).toMatchObject({
        sameKind: true,
        sameBits: ['calibration', 'strip'].includes(entry.kind) ? null : true,
        changed: [],
        came: [],
      });
    const [sheet] = gangEntry().sheets;
    const two = gangEntry({ sheets: [sheet!, sheet!] });
    expect(compareEntries(two, two).sameBits).toBeNull();
  });

  test('test plates: settings, then layout and what is etched', () => {
    const second = testPlateEntry({
      job: { ...testPlateEntry().job, dpi: 600 },
      passLadder: true,
      layoutId: 'ffffffff',
      etched: 0.3,
      plates: [{ name: 'shop-test', bitsSha256: 'a'.repeat(64) }],
    });
    const { changed, came, sameBits } = compareEntries(testPlateEntry(), second);
    expect(sameBits).toBe(false);
    expect(changed).toEqual([
      { what: 'dpi', from: 300, to: 600 },
      { what: 'passLadder', from: false, to: true },
    ]);
    expect(whats(came)).toEqual(['layoutId', 'etched']);
  });

  test('gangs: the sheet, its plates, and the shares of the sheets', () => {
    const other = placed({ name: 'gull', bitsSha256: '1'.repeat(64) });
    const second = gangEntry({
      sheet: { ...gangEntry().sheet, gutterMm: 9 },
      sheets: [
        { etched: 0.42, bitsSha256: 'f'.repeat(64), placed: [placed()] },
        { etched: 0.5, bitsSha256: '2'.repeat(64), placed: [other] },
      ],
    });
    const { changed, came } = compareEntries(gangEntry(), second);
    expect(whats(changed)).toEqual(['gutterMm', 'plates', 'platesSha256']);
    expect(came).toEqual([
      { what: 'sheets', from: 1, to: 2 },
      { what: 'etched', from: 0.42, to: null },
      { what: 'sheet 1: etched', from: null, to: 0.42 },
      { what: 'sheet 2: etched', from: null, to: 0.5 },
    ]);
  });

  test('curves: scans and sheet, then the middle tone and what held', () => {
    const second = calibrationEntry({
      scans: [{ name: 'proof.png', sha256: '9'.repeat(64) }],
      material: { ...plateEntry().material!, batch: 'B8' },
      curve: {
        ...calibrationEntry().curve,
        knots: [
          [0, 0],
          [0.5, 0.7],
          [1, 1],
        ],
        measuredOn: '2031-08-01',
      },
      limitsMm: { minWallMm: 0.2, maxGapMm: null },
    });
    const { changed, came } = compareEntries(calibrationEntry(), second);
    expect(whats(changed)).toEqual(['measuredOn', 'scans', 'batch']);
    expect(came).toEqual([
      { what: 'middle', from: 0.61, to: 0.7 },
      { what: 'minWallMm', from: 0.15, to: 0.2 },
    ]);
  });

  test('strips: the scan, then whether it holds, and the tones', () => {
    const second = stripEntry({
      scans: [{ name: 'later.png', sha256: '9'.repeat(64) }],
      holds: false,
      patches: [
        { share: 0.25, lightness: 71, expected: 70 },
        { share: 0.75, lightness: 37.5, expected: 33 },
      ],
    });
    const { changed, came } = compareEntries(stripEntry(), second);
    expect(whats(changed)).toEqual(['scans']);
    expect(came).toEqual([
      { what: 'holds', from: true, to: false },
      { what: 'mostOff', from: -2.5, to: 4.5 },
      { what: 'L* of 75 %', from: 30.5, to: 37.5 },
    ]);
  });
});

test('of two kinds only what both have is compared, and no caution is said to be gone', () => {
  const comparison = compareEntries(plateEntry(), gangEntry());
  expect(comparison).toMatchObject({ sameKind: false, sameBits: false, newCautions: [], goneCautions: [] });
  expect(whats(comparison.changed)).toEqual(['command', 'widthMm']);
  expect(comparison.came).toEqual([
    { what: 'etched', from: 0.58, to: 0.42 },
    { what: 'timeS', from: 1000, to: 1200 },
  ]);
  for (const a of ALL)
    for (const b of ALL) {
      const { sameKind, changed, came } = compareEntries(a, b);
      expect(sameKind).toBe(a.kind === b.kind);
      if (a.command !== b.command) expect(whats(changed)[0]).toBe('command');
      expect(came.every(({ from, to }) => from !== undefined && to !== undefined)).toBe(true);
    }
});

describe('finding', () => {
  const found = (wanted: Wanted) => ALL.filter((entry) => fits(page(entry, { verdict: 'held' }), wanted));
  const kinds = (wanted: Wanted): string[] => found(wanted).map(({ kind }) => kind);

  test.each<[string, Wanted, string[]]>([
    ['every kind by its name', { kind: 'calibration', words: [] }, ['calibration']],
    ['a plate of a gang by its name or id', { kind: 'gang', words: ['ferry', '01-abcdef'] }, ['gang']],
    ['a curve by its sheet and day', { words: ['cherry', '2031-05-02'] }, ['calibration', 'strip']],
    ['what was held against a curve', { kind: 'strip', words: ['cotton'] }, ['strip']],
    ['a curve by its ruling', { words: ['50lpi'] }, ['calibration']],
    ['all of one layout', { words: ['2e126d96'] }, ['testplate', 'calibration']],
    ['by a side of the sheet', { words: ['140mm'] }, ['gang']],
    ['by process', { process: 'intaglio', words: [] }, ['testplate', 'calibration', 'strip']],
    ['by screen, which a gang has none of', { screen: 'dot', words: [] }, ['plate', 'calibration']],
    ['by verdict', { verdict: 'failed', words: [] }, []],
    ['a name of what all objects have', { kind: 'constructor', words: [] }, []],
  ])('%s', (_, wanted, expected) => {
    expect(kinds(wanted)).toEqual(expected);
  });
});

test('each kind is a row of the table, with empty cells for what it has not', () => {
  const rows = parse(csvHead() + ALL.map((entry) => csvLine(page(entry))).join(''), { columns: true });
  expect(rows).toMatchObject([
    { kind: 'plate', widthMm: '60', etchedPercent: '58', bitsSha256: 'b'.repeat(64), screen: 'dot' },
    { kind: 'testplate', widthMm: '150', etchedPercent: '20', picture: '', timeMinutes: '10' },
    { kind: 'gang', widthMm: '140', screen: '', etchedPercent: '42', bitsSha256: 'f'.repeat(64) },
    { kind: 'calibration', widthMm: '', curve: 'cotton', rulingLpi: '50', bitsSha256: '', timeMinutes: '' },
    { kind: 'strip', widthMm: '', curve: 'cotton', rulingLpi: '40', bitsSha256: '', timeMinutes: '' },
  ]);
});

describe('the first version', () => {
  // a line as the program wrote it when entries had version 1: an examples/ferry-key.png of 20 mm, then its note
  const PLATE =
    '{"version":1,"id":"e321a2f7fa4b","at":"2026-11-28T22:59:10.506Z","kind":"plate","command":"prepare","name":"ferry-key","made":true,"note":null,"tool":{"version":"0.1.0","engine":{"sharp":"0.35.5","libvips":"8.18.7","algorithms":3}},"input":{"name":"ferry-key.png","sha256":"8b2e2542e7bf91f11a8583f81a0b988f9448c4f91e2a92582a5d70858afc68a2"},"job":{"process":"relief","widthMm":20,"dpi":127,"fit":"contain","borderMm":0,"controlStrip":false,"rotateDeg":0,"etch":"light","facing":"plate","page":1,"source":"positive","whitepointPercent":100,"blackpointPercent":0,"gamma":1,"capPercent":100,"floorPercent":0,"descreen":"off","screen":"threshold","compensate":true,"levelPercent":50,"heightMm":13.333333333},"plate":{"process":"relief","widthMm":20,"heightMm":13.333333333,"dpi":127},"screen":{"kind":"threshold","levelPercent":50,"tones":2},"machine":null,"press":null,"material":null,"curve":null,"coverage":{"etched":0.572985075,"inked":0.427014925,"predicted":0.112504651},"passes":null,"timeS":16.08,"slotS":3600,"hold":[{"code":"thin-walls","limitMm":0.4,"worstMm":0.3,"count":47,"areaMm2":10.6},{"code":"small-dots","limitMm":0.5,"worstMm":0.3,"count":68,"areaMm2":7.16},{"code":"gaps-fill","limitMm":0.3,"worstMm":0.1,"count":115,"areaMm2":12.52},{"code":"floor-prints","limitMm":19.588470459,"worstMm":null,"count":0,"areaMm2":0},{"code":"kept-ring","limitMm":0,"worstMm":null,"count":0,"areaMm2":0},{"code":"in-saw-edge","limitMm":1.2,"worstMm":0.4,"count":38,"areaMm2":17.88}],"cautions":[{"code":"thin-lines","severity":"warn","text":"The thinnest lines of the picture come out 0.0083 mm wide, less than a pixel of the plate; parts of them may be lost"},{"code":"thin-gaps","severity":"warn","text":"The thinnest gaps between lines of the picture come out 0.0083 mm wide, less than a pixel of the plate; parts of them may be lost"},{"code":"thin-walls","severity":"warn","text":"47 kept lines are thinner than 0.4 mm on the block, the thinnest 0.3 mm: they may snap or burn away (limit from memory)"},{"code":"small-dots","severity":"warn","text":"68 kept dots are smaller than 0.5 mm, the smallest 0.3 mm: they may not hold (limit from memory)"},{"code":"gaps-fill","severity":"warn","text":"115 cleared gaps are narrower than 0.3 mm, the narrowest 0.1 mm: they may fill with ink (limit: common practice)"}],"files":[{"role":"plate","name":"ferry-key.plate.png","format":"png","sha256":"d28253df107009f67b4238a8b34208a37e91e51ab497b62bbebf7c43a845848e"}],"fire":"dark","bitsSha256":"9205c5c21ccf52579d3ab55e6425fdbbe147b49870bcdc84a914ff51f6b1ec72"}';
  const NOTE =
    '{"version":1,"id":"e1bc4b574e2c","at":"2026-11-28T22:59:11.231Z","kind":"note","about":"e321a2f7fa4b","seen":{"verdict":"partly","words":"rigging broke"}}';

  test('is read as a plate and a note, and compared with one of today', () => {
    const faults: unknown[] = [];
    const read = openNumbering(notebookLines, (fault) => faults.push(fault));
    const [plate, note] = [read(PLATE), read(NOTE)];
    expect(faults).toEqual([]);
    const entry = plate!.entry as RunEntry;
    expect(entry).toMatchObject({
      version: 2,
      kind: 'plate',
      input: { name: 'ferry-key.png', path: null },
      files: [{ role: 'plate', packed: null }],
      ...{ fire: 'dark', name: 'ferry-key' },
    });
    expect(note!.entry).toMatchObject({ version: 2, kind: 'note', about: entry.id });
    expect(compareEntries(entry, entry)).toMatchObject({ sameBits: true, changed: [], came: [] });
    expect(fits(page(entry), { kind: 'plate', words: ['ferry-key.png'] })).toBe(true);
  });

  test('with a kind that it did not know, or without a picture, is told and not thrown', () => {
    const first = JSON.parse(PLATE);
    for (const broken of [
      { ...first, kind: 'gang' },
      { ...first, input: null },
      { ...first, files: 7 },
    ])
      expect(readLine(JSON.stringify(broken), notebookLines)).toMatchObject({ fault: 'unknown' });
  });
});
