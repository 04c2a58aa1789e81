import { copyFileSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { remakeSchema } from '../../src/report/remake-schema.ts';
import { greyPng, photograph, save } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
// biome-ignore lint/suspicious/noExplicitAny: what the program prints is looked at piece by piece
type Json = Record<string, any>;

const at = (name: string): string => join(place.path, name);
const json = (name: string): Json => JSON.parse(readFileSync(at(name), 'utf8'));
const put = (name: string, value: unknown): void => writeFileSync(at(name), JSON.stringify(value));

async function ok(...args: string[]) {
  const run = await cli(place, args);
  expect(run.code, run.err).toBe(0);
  return run;
}

/** Makes something again; what is printed must be as its schema says. */
async function remake(...args: string[]): Promise<Json> {
  const run = await cli(place, ['remake', ...args, '--json']);
  expect(run.out, run.err).not.toBe('');
  const told = remakeSchema.parse(JSON.parse(run.out));
  return { ...told, code: run.code };
}
const what = ({ differences }: Json): string[] => differences.map((one: Json) => one['what']);

const small = ['--process', 'relief', '--width', '20', '--screen', 'threshold', '--quiet'];

describe('a set', () => {
  const make = async (): Promise<void> => {
    save(place.path, 'sea.png', photograph(90, 60));
    const inks = 'sky=#4a90c0:transparent,dark=#202028';
    await ok(
      ...['separate', 'sea.png', '--by', 'key', '--inks', inks, '--process', 'relief', '--width', '30'],
      ...['--dpi', '254', '--smallest', '0.3mm', '--format', 'tiff', '--tiff', 'group4', '--quiet'],
    );
  };

  test('comes out with the same bits and files, whatever its picture is called now; and not where an ink, the picture or a version is another', async () => {
    await make();
    renameSync(at('sea.png'), at('other-name.png'));
    const again = await remake('sea.set.json', '--out', 'again');
    expect(again).toMatchObject({ code: 0, kind: 'set', sameBits: true, sameFiles: true, differences: [] });
    expect(again['plates'].map((plate: Json) => plate['name'])).toEqual(['sky', 'dark']);
    for (const name of ['sea.sky.plate.tif', 'sea.dark.plate.tif'])
      expect(readFileSync(at(`again/${name}`))).toEqual(readFileSync(at(name)));

    const report = json('sea.set.json');
    const inks = report['asked'].inks;
    put('ink.set.json', {
      ...report,
      asked: { ...report['asked'], inks: [{ ...inks[0], colour: '#e0e060' }, inks[1]] },
    });
    const ink = await remake('ink.set.json', '--out', 'ink');
    expect(ink).toMatchObject({ code: 5, sameBits: false, written: [] });
    expect(what(ink)).toEqual(['settings']);
    expect(namesIn(place.path)).not.toContain('ink');

    put('name.set.json', {
      ...report,
      asked: { ...report['asked'], inks: [{ ...inks[0], name: 'haze' }, inks[1]] },
    });
    expect(what(await remake('name.set.json', '--dry-run'))).toEqual(['settings']);

    save(place.path, 'third.png', photograph(90, 61));
    const picture = await remake('sea.set.json', '--input', 'third.png', '--dry-run');
    expect(picture).toMatchObject({ code: 5, sameBits: false });
    expect(what(picture)).toContain('picture');

    put('old.set.json', { ...report, tool: { ...report['tool'], version: '0.0.9' } });
    const version = await remake('old.set.json', '--dry-run');
    expect(version).toMatchObject({
      code: 0,
      sameBits: true,
      differences: [{ what: 'version', was: '0.0.9' }],
    });
  });

  test('is what the report of one of its plates leads to, and the hash of what was asked knows its inks', async () => {
    await make();
    const plate = await cli(place, ['remake', 'sea.sky.report.json', '--dry-run']);
    expect([plate.code, plate.err]).toEqual([2, expect.stringContaining('remake sea.set.json')]);
    const before = json('sea.set.json');
    await ok(
      ...['separate', 'sea.png', '--by', 'key', '--inks', 'sky=#4a90c0,dark=#202028', '--process', 'relief'],
      ...['--width', '30', '--dpi', '254', '--smallest', '0.3mm', '--overwrite', '--quiet'],
    );
    const after = json('sea.set.json');
    expect(after['askedSha256']).not.toBe(before['askedSha256']);
    expect(after['plates'][0].report.askedSha256).not.toBe(before['plates'][0].report.askedSha256);
  });

  test('whose inks were looked for, and one of pictures for each plate, come out again too', async () => {
    save(place.path, 'sea.png', photograph(90, 60));
    const common = ['--process', 'intaglio', '--width', '30', '--dpi', '254', '--quiet'];
    await ok(
      'separate',
      'sea.png',
      '--by',
      'reduction',
      '--process',
      'relief',
      ...common.slice(2),
      '--name',
      'cuts',
    );
    expect(await remake('cuts.set.json', '--dry-run')).toMatchObject({ sameBits: true, differences: [] });
    await ok('separate', 'sea.png', '--by', 'key', '--colours', '3', ...common, '--name', 'keyed');
    expect(await remake('keyed.set.json', '--dry-run')).toMatchObject({ sameBits: true, differences: [] });
    mkdirSync(at('moved'));
    save(
      place.path,
      'left.png',
      greyPng(60, 40, (x) => x * 4),
    );
    save(
      place.path,
      'right.png',
      greyPng(60, 40, (_, y) => y * 6),
    );
    await ok('separate', '--plate', 'a=left.png', '--plate', 'b=right.png', ...common, '--name', 'pair');
    renameSync(at('left.png'), at('moved/l.png'));
    renameSync(at('right.png'), at('moved/r.png'));
    const gone = await cli(place, ['remake', 'pair.set.json', '--dry-run']);
    expect([gone.code, gone.err]).toEqual([3, expect.stringContaining('picture of plate a')]);
    const pair = await remake('pair.set.json', '--input', 'moved', '--dry-run');
    expect(pair).toMatchObject({ code: 0, sameBits: true, differences: [] });

    // a setting of one plate alone: told as changed, and by its name where a notebook knows what it was
    const [a, b] = json('pair.set.json')['plates'];
    const cap = { ...b, report: { ...b.report, job: { ...b.report.job, capPercent: 40 } } };
    put('cap.set.json', { ...json('pair.set.json'), plates: [a, cap] });
    const capped = await remake('cap.set.json', '--input', 'moved', '--dry-run');
    expect(capped).toMatchObject({ code: 5, sameBits: false });
    expect(what(capped)).toEqual(['settings']);
    await ok('notebook', 'init');
    await remake('pair.set.json', '--input', 'moved', '--out', 'noted');
    expect(what(await remake('cap.set.json', '--input', 'moved', '--dry-run'))).toEqual([
      'b: capPercent',
      'settings',
    ]);
  });
});

test('a set of pieces comes out again with its map, its aid and its recesses', async () => {
  save(place.path, 'sea.png', photograph(90, 60));
  save(
    place.path,
    'map.png',
    greyPng(90, 60, (x) => (x < 45 ? 0 : 255)),
  );
  await ok(
    ...['separate', 'sea.png', '--by', 'pieces', '--piece-map', 'map.png', '--cut-from', 'own-sheets'],
    ...['--inks', 'left=#000000,right=#ffffff', '--process', 'relief', '--width', '120', '--border', '13mm'],
    ...['--dpi', '127', '--register', 'kento', '--quiet'],
  );
  renameSync(at('map.png'), at('areas.png'));
  const again = await remake('sea.set.json', '--out', 'again');
  expect(again).toMatchObject({ code: 0, sameBits: true, sameFiles: true, differences: [] });
  const names = namesIn(place.path).filter((name) => /^sea\..*(shelf|cut|backs)\./.test(name));
  expect(names.filter((name) => name.includes('shelf'))).toHaveLength(2);
  for (const name of names)
    expect([name, readFileSync(at(`again/${name}`))]).toEqual([name, readFileSync(at(name))]);

  save(
    place.path,
    'areas.png',
    greyPng(90, 60, (x) => (x < 30 ? 0 : 255)),
  );
  const gone = await cli(place, ['remake', 'sea.set.json', '--dry-run']);
  expect([gone.code, gone.err]).toEqual([3, expect.stringContaining('map of the pieces')]);
});

describe('a gang', () => {
  const make = async (): Promise<void> => {
    save(place.path, 'a.png', photograph(90, 60));
    save(place.path, 'b.png', photograph(60, 90));
    await ok('prepare', 'a.png', 'b.png', ...small);
    await ok('notebook', 'init');
    await ok(
      ...['gang', 'a.plate.png', 'b.plate.png', 'a.plate.png', '--sheet-width', '60', '--sheet-height', '60'],
      ...['--sheet-margin', '2', '--gutter', '3', '--format', 'png,tiff', '--tiff', 'group4', '--quiet'],
    );
  };

  test('comes out with the same bits and files from its report and its entry, its plates elsewhere and without reports', async () => {
    await make();
    mkdirSync(at('shelf'));
    for (const name of ['a', 'b']) {
      renameSync(at(`${name}.plate.png`), at(`shelf/old-${name}.png`));
      rmSync(at(`${name}.report.json`));
    }
    const again = await remake('gang.gang.json', '--input', 'shelf', '--out', 'again');
    expect(again).toMatchObject({ code: 0, kind: 'gang', sameBits: true, sameFiles: true });
    const { sheets } = json('gang.gang.json');
    for (const { files } of sheets as Json[])
      for (const { name } of files) expect(readFileSync(at(`again/${name}`))).toEqual(readFileSync(at(name)));
    const entry = await remake('1', '--input', 'shelf', '--dry-run');
    expect(entry).toMatchObject({ code: 0, record: 'entry 1', sameBits: true, sameFiles: null });
  });

  test('is not the same with another plate, another place, or another version; each is told', async () => {
    await make();
    const report = json('gang.gang.json');
    const { sheets, tool } = report;
    put('old.gang.json', { ...report, tool: { ...tool, version: '0.0.9' } });
    expect(what(await remake('old.gang.json', '--dry-run'))).toEqual(['version']);

    put('wider.gang.json', { ...report, asked: { ...report['asked'], gutterMm: 9 } });
    const wider = await remake('wider.gang.json', '--dry-run');
    expect(wider).toMatchObject({ code: 0, sameBits: true });
    expect(what(wider)).toEqual(['gutterMm', 'settings']);

    const [first, ...rest] = sheets[0].placed;
    const moved = { ...first, xPx: first.xPx + 1 };
    put('moved.gang.json', {
      ...report,
      sheets: [{ ...sheets[0], placed: [moved, ...rest] }, ...sheets.slice(1)],
    });
    const place1 = await remake('moved.gang.json', '--dry-run');
    expect(place1).toMatchObject({ code: 5, sameBits: false });
    expect(what(place1)).toEqual(['settings']);

    await ok('prepare', 'a.png', ...small, '--level', '30', '--overwrite');
    const plate = await remake('gang.gang.json', '--input', '.', '--out', 'other');
    expect(plate).toMatchObject({ code: 5, sameBits: false, written: [] });
    expect(what(plate).every((one) => one.startsWith('plate 0'))).toBe(true);
    expect(namesIn(place.path)).not.toContain('other');
    const anyway = await remake('gang.gang.json', '--input', '.', '--out', 'other', '--anyway');
    expect(anyway).toMatchObject({ code: 0, sameBits: false });
  });
});

test('a test plate comes out with the same bits and files from its report and its entry', async () => {
  await ok('notebook', 'init');
  await ok(
    ...[
      'testplate',
      '--process',
      'intaglio',
      '--dpi',
      '127',
      '--spot',
      '0.3mm',
      '--pass-ladder',
      '--name',
      'tp',
    ],
    ...['--quiet', '--format', 'tiff', '--tiff', 'group4', '--note', 'before the new lens'],
  );
  const again = await remake('tp.report.json', '--out', 'again');
  expect(again).toMatchObject({
    code: 0,
    kind: 'testplate',
    sameBits: true,
    sameFiles: true,
    differences: [],
  });
  expect(again['plates']).toHaveLength(4);
  expect(readFileSync(at('again/tp-pass2.plate.tif'))).toEqual(readFileSync(at('tp-pass2.plate.tif')));
  expect(json('again/tp.testplate.json')).toEqual(json('tp.testplate.json'));
  expect(await remake('1', '--dry-run', '--name', 'other')).toMatchObject({
    sameBits: true,
    differences: [],
  });
  const report = json('tp.report.json');
  put('other.report.json', { ...report, job: { ...report['job'], dpi: 254 } });
  const other = await remake('other.report.json', '--dry-run');
  expect(other).toMatchObject({ code: 5, sameBits: false });
  // the notebook knows what it was
  expect(what(other)).toEqual(['dpi', 'layout', 'settings']);
});

test('strips of TIFFs are packed as the record has them, unless asked for otherwise', async () => {
  save(place.path, 'a.png', photograph(90, 60));
  await ok('prepare', 'a.png', ...small, '--format', 'tiff', '--tiff', 'group4');
  expect(json('a.report.json')['files'][0]).toMatchObject({ packed: 'group4' });
  expect(await remake('a.report.json', '--out', 'again')).toMatchObject({ sameBits: true, sameFiles: true });
  expect(readFileSync(at('again/a.plate.tif'))).toEqual(readFileSync(at('a.plate.tif')));
  const other = await remake('a.report.json', '--tiff', 'deflate', '--out', 'other');
  expect(other).toMatchObject({ code: 0, sameBits: true, sameFiles: false });
});

test('the picture of a plate of a list is found where the list names it, and where the notebook says that it lay', async () => {
  mkdirSync(at('pictures'));
  save(at('pictures'), 'a.png', photograph(90, 60));
  writeFileSync(at('list.csv'), 'picture,width\npictures/a.png,20mm\n');
  await ok('batch', 'list.csv', '--process', 'relief', '--screen', 'threshold', '--out', 'plates', '--quiet');
  expect(json('plates/a.report.json')['input']).toMatchObject({ name: 'a.png', listed: 'pictures/a.png' });
  const fromHere = await remake('plates/a.report.json', '--dry-run');
  expect(fromHere).toMatchObject({ code: 0, sameBits: true });

  // where no list leads to it the notebook does, but only to the very same bytes
  mkdirSync(at('far'));
  renameSync(at('pictures'), at('far/away'));
  const lost = await cli(place, ['remake', 'plates/a.report.json', '--dry-run']);
  expect([lost.code, lost.err]).toEqual([3, expect.stringContaining('--input')]);
  await ok('notebook', 'init');
  await ok('prepare', 'far/away/a.png', ...small);
  expect(await remake('plates/a.report.json', '--dry-run')).toMatchObject({ code: 0, sameBits: true });
  copyFileSync(at('far/away/a.png'), at('kept.png'));
  save(at('far/away'), 'a.png', photograph(90, 61));
  rmSync(at('kept.png'));
  expect((await cli(place, ['remake', 'plates/a.report.json', '--dry-run'])).code).toBe(3);
});

test('what a record does not tell, and files that are none, are told by what they are', async () => {
  save(place.path, 'a.png', photograph(90, 60));
  await ok('prepare', 'a.png', ...small);
  await ok('gang', 'a.plate.png', '--sheet-width', '60', '--sheet-height', '60', '--quiet');
  await ok('separate', '--plate', 'a=a.png', ...small, '--name', 'pair');
  const told = async (file: string): Promise<[number | null, string]> => {
    const { code, err } = await cli(place, ['remake', file, '--dry-run']);
    return [code, err.replaceAll(/\s+/g, ' ')];
  };
  // as they were written before they held what was asked for
  for (const [file, called, command] of [
    ['gang.gang.json', 'a gang', 'gang'],
    ['pair.set.json', 'a set', 'separate'],
  ] as const) {
    const { asked: _, askedSha256: __, ...older } = json(file);
    put(`older.${file}`, older);
    const [code, err] = await told(`older.${file}`);
    expect(code).toBe(2);
    expect(err).toContain(`this report of ${called} does not tell "asked"`);
    expect(err).toContain(`Make ${called} anew with \`etchwright ${command}\``);
    expect(err).not.toContain('Invalid input');
  }
  put('wrong.gang.json', { ...json('gang.gang.json'), dpi: 'many' });
  expect(await told('wrong.gang.json')).toEqual([2, expect.stringMatching(/the report of a gang .*\(dpi: /)]);
  put('other.json', { schema: 'etchwright/curve' });
  expect(await told('other.json')).toEqual([2, expect.stringContaining('it is not the report of a plate')]);
});

test('a picture or a plate in the place of its report leads to the report; a second --input is refused', async () => {
  save(place.path, 'a.png', photograph(90, 60));
  save(place.path, 'b.png', photograph(90, 61));
  await ok('prepare', 'a.png', ...small);
  const told = async (...args: string[]): Promise<[number | null, string]> => {
    const { code, err } = await cli(place, ['remake', ...args, '--dry-run']);
    return [code, err.replaceAll(/\s+/g, ' ')];
  };
  for (const file of ['a.png', 'a.plate.png']) {
    const [code, err] = await told(file);
    expect(code).toBe(2);
    expect(err).toContain(
      `${file}: this is none. A plate is made again from the report that was written beside it`,
    );
    expect(err).toContain('Say `etchwright remake a.report.json`');
    expect(err).not.toContain('JSON (');
  }
  expect(await told('b.png')).toEqual([
    2,
    expect.stringContaining('or the number that `etchwright notebook list` shows'),
  ]);
  writeFileSync(at('torn.json'), '{"schema":');
  expect(await told('torn.json')).toEqual([2, expect.stringContaining('it is not JSON')]);
  expect(await told('gone.png')).toEqual([2, expect.stringContaining('there is no such file')]);
  expect(await told('a.report.json', '--input', 'a.png', '--input', 'b.png')).toEqual([
    2,
    expect.stringMatching(
      /--input takes one, and is given "a.png" and "b.png".* or a folder with all it was made from/,
    ),
  ]);
});
