import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { sha256 } from '../run/judges.ts';
import { makePlate } from '../run/make.ts';
import { greyPng, photograph, save } from '../run/pictures.ts';
import { hashesIn, runList } from './run-list.ts';

let folder = '';
let out = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'etchwright-batch-'));
  out = join(folder, 'out');
  save(folder, 'sea.png', photograph(90, 60));
  save(folder, 'shore.png', photograph(60, 90));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const list = (text: string, name = 'l.csv'): string => save(folder, name, Buffer.from(text));
const RELIEF = { flags: { process: 'relief', widthMm: 20, screen: 'bayer', material: 'wood' } };

describe('one bad picture stops no other', () => {
  const rows = [
    'name,picture,width,material',
    'Ada P.,sea.png,20,',
    'Ada P.,shore.png,15,',
    'Bo,lost.png,,',
    'Cy,note.png,,',
    'Di,sea.png,2000km,',
    'El,sea.png,,vinyl',
    '"<b>Fi</b> & co",sea.png,-1,',
  ];

  test('each has its outcome, in order, and a page where there is something to mend', async () => {
    save(folder, 'note.png', Buffer.from('this is a letter'));
    const { report, told } = await runList([list(rows.join('\n'))], out, RELIEF);
    expect(told).toEqual([1, 2, 3, 4, 5, 6, 7]);
    expect(report.plates.map(({ called, name, outcome, line }) => [called, name, outcome, line])).toEqual([
      ['Ada P.', 'Ada-P', 'made', 2],
      ['Ada P.', 'Ada-P-2', 'made', 3],
      ['Bo', 'Bo', 'failed', 4],
      ['Cy', 'Cy', 'failed', 5],
      ['Di', 'Di', 'failed', 6],
      ['El', 'El', 'refused', 7],
      ['<b>Fi</b> & co', 'b-Fi-b-co', 'failed', 8],
    ]);
    const codes = report.plates.map(({ problems }) => problems.map(({ code }) => code));
    expect(codes).toEqual([
      [],
      [],
      ['picture-not-found'],
      ['not-a-picture'],
      ['bad-value'],
      ['material-never'],
      ['bad-value'],
    ]);
    expect(report.counts).toEqual({ made: 2, kept: 0, refused: 1, failed: 4 });
    expect(readdirSync(out).sort()).toEqual([
      'Ada-P-2.plate.png',
      'Ada-P-2.report.json',
      'Ada-P.plate.png',
      'Ada-P.report.json',
      'Bo.mend.html',
      'Cy.mend.html',
      'Di.mend.html',
      'El.mend.html',
      'b-Fi-b-co.mend.html',
      'contact.html',
    ]);
  });

  test('pages say what and why, in words of their own, with nothing from outside let in raw', async () => {
    await runList([list(rows.join('\n'))], out, RELIEF);
    const page = (name: string): string => readFileSync(join(out, name), 'utf8');
    expect(page('Bo.mend.html')).toMatch(/lost\.png.*line 4 of the list/s);
    expect(page('Bo.mend.html')).toMatch(/handed in at all/);
    expect(page('Di.mend.html')).toMatch(/2000km/);
    expect(page('El.mend.html')).toMatch(/chlorine/);
    expect(page('b-Fi-b-co.mend.html')).toContain('&lt;b&gt;Fi&lt;/b&gt; &amp; co');
    const contact = page('contact.html');
    expect(contact.match(/<li class="card/g)).toHaveLength(7);
    expect(contact.match(/<img src="data:image\/jpeg;base64,/g)).toHaveLength(2);
    expect(contact).toContain('<a href="Bo.mend.html">');
    for (const name of readdirSync(out).filter((file) => file.endsWith('.html'))) {
      expect(page(name), name).not.toMatch(/<script|<b>Fi|https?:|src="(?!data:image)/);
      expect(page(name), name).not.toContain(folder);
    }
  });
});

test('a row gives the plate that prepare gives', async () => {
  const { report } = await runList([list('picture,width,process,gamma\nsea.png,20,intaglio,1.3\n')], out, {
    flags: { screen: 'cell' },
  });
  const alone = await makePlate(folder, join(folder, 'sea.png'), {
    ...{ process: 'intaglio', widthMm: 20, gamma: 1.3, screen: 'cell', dpi: 150 },
  });
  expect(report.plates[0]!.plate!.bitsSha256).toBe(alone.report.bitsSha256);
  expect(readFileSync(join(out, 'sea.plate.png')).equals(alone.png)).toBe(true);
});

test('the small print is the picture the right way round, of a block and of a plate alike', async () => {
  const { default: sharp } = await import('sharp');
  // dark at the left, so that a mirrored or turned print shows
  const { greyPng } = await import('../run/pictures.ts');
  save(
    folder,
    'left.png',
    greyPng(90, 60, (x) => (x < 45 ? 0 : 255)),
  );
  const rows = 'picture,process,name\nleft.png,relief,block\nleft.png,intaglio,plate\n';
  for (const [format, fire, screen] of [
    ['png', 'dark', 'bayer'],
    ['bmp', 'light', 'bayer'],
    ['pdf', 'dark', 'bayer'],
    ['tiff', 'light', 'none'],
  ]) {
    const into = join(folder, `${format}-${screen}`);
    await runList([list(rows)], into, { flags: { widthMm: 20, screen }, run: { format: [format], fire } });
    const contact = readFileSync(join(into, 'contact.html'), 'utf8');
    const images = [...contact.matchAll(/data:image\/jpeg;base64,([^"]+)/g)];
    expect(images, format).toHaveLength(2);
    for (const [, bytes] of images) {
      const { data, info } = await sharp(Buffer.from(bytes!, 'base64'))
        .greyscale()
        .raw()
        .toBuffer({ resolveWithObject: true });
      const at = (x: number): number =>
        data[Math.floor(info.height / 2) * info.width + Math.floor(x * info.width)]!;
      expect(at(0.75), format).toBeGreaterThan(240);
      expect(at(0.25), format).toBeLessThan(170);
    }
  }
});

describe('resumed', () => {
  const rows = 'picture,name\nsea.png,a\nshore.png,b\nlost.png,c\n';
  const outcomes = async (options = {}) =>
    (await runList([list(rows)], out, { ...RELIEF, resume: true, ...options })).report.plates.map(
      ({ outcome }) => outcome,
    );

  test('only what is missing or changed is made, and all files are as of an unbroken run', async () => {
    expect(await outcomes()).toEqual(['made', 'made', 'failed']);
    const whole = hashesIn(out);
    const old = new Date(2001, 0, 1);
    utimesSync(join(out, 'a.plate.png'), old, old);
    expect(await outcomes()).toEqual(['kept', 'kept', 'failed']);
    expect(statSync(join(out, 'a.plate.png')).mtime).toEqual(old);

    const spoil: Record<string, () => void> = {
      'plate gone': () => rmSync(join(out, 'a.plate.png')),
      'report gone': () => rmSync(join(out, 'a.report.json')),
      'plate cut short': () => writeFileSync(join(out, 'a.plate.png'), 'half'),
      'report cut short': () => writeFileSync(join(out, 'a.report.json'), '{"schema"'),
      'of another version': () => {
        const report = JSON.parse(readFileSync(join(out, 'a.report.json'), 'utf8'));
        report.tool.engine.algorithms--;
        writeFileSync(join(out, 'a.report.json'), JSON.stringify(report));
      },
    };
    for (const [what, how] of Object.entries(spoil)) {
      how();
      expect(await outcomes(), what).toEqual(['made', 'kept', 'failed']);
      expect(hashesIn(out), what).toEqual(whole);
    }
  });

  test('another picture, another setting, other files: made anew', async () => {
    await outcomes();
    save(folder, 'sea.png', photograph(91, 60));
    expect(await outcomes()).toEqual(['made', 'kept', 'failed']);
    expect(await outcomes({ flags: { ...RELIEF.flags, widthMm: 21 } })).toEqual(['made', 'made', 'failed']);
    expect(
      await outcomes({ flags: { ...RELIEF.flags, widthMm: 21 }, run: { format: ['png', 'bmp'] } }),
    ).toEqual(['made', 'made', 'failed']);
    expect(
      await outcomes({ flags: { ...RELIEF.flags, widthMm: 21 }, run: { format: ['png', 'bmp'] } }),
    ).toEqual(['kept', 'kept', 'failed']);
  });

  test('what --strict would refuse is not kept; its older files are told, not taken away', async () => {
    await outcomes();
    const { report } = await runList([list(rows)], out, { ...RELIEF, resume: true, run: { strict: true } });
    expect(report.plates[0]).toMatchObject({
      outcome: 'refused',
      olderFiles: ['a.plate.png', 'a.report.json'],
    });
    expect(readFileSync(join(out, 'a.mend.html'), 'utf8')).toMatch(/Do not engrave.*a\.plate\.png/s);
    // and the page goes when the plate is there
    await outcomes();
    expect(existsSync(join(out, 'a.mend.html'))).toBe(false);
  });

  test('without it nothing that lies there is replaced', async () => {
    await outcomes();
    const before = hashesIn(out);
    await expect(runList([list(rows)], out, RELIEF)).rejects.toThrow(/contact\.html.*already there/);
    rmSync(join(out, 'contact.html'));
    const { report } = await runList([list(rows)], out, RELIEF);
    expect(report.plates.map(({ problems }) => problems[0]?.code)).toEqual([
      'output-exists',
      'output-exists',
      'picture-not-found',
    ]);
    expect(hashesIn(out)).toEqual({ ...before, 'contact.html': expect.any(String) });
  });
});

describe('outlines and clearing as columns', () => {
  const mask = (name: string, leftPx: number) =>
    save(
      folder,
      name,
      greyPng(90, 60, (x, y) => (x >= leftPx && x < 80 && y >= 10 && y < 50 ? 0 : 255)),
    );
  const named = (suffix: string) => Object.keys(hashesIn(out)).filter((name) => name.endsWith(suffix));

  test('each row has its own kind, its own mask, or none; clearing plates are made where a row asks for them', async () => {
    mask('one.png', 10);
    mask('two.png', 40);
    save(
      folder,
      'open.png',
      greyPng(60, 40, (x) => (x < 6 ? 0 : 255)),
    );
    const rows = [
      'picture,name,outline,outline-radius,outline mask,clearing,depth,width',
      'sea.png,a,rounded,3mm,,,,',
      'sea.png,b,shape,,one.png,,,',
      'sea.png,c,shape,,two.png,NO,,',
      'sea.png,d,,,,,,',
      'open.png,e,,,,TRUE,2mm,60mm',
      'sea.png,f,,,one.png,,,',
    ];
    const { report } = await runList([list(rows.join('\n'))], out, RELIEF);
    expect(report.plates.map(({ outcome }) => outcome)).toEqual([
      ...['made', 'made', 'made', 'made', 'made', 'failed'],
    ]);
    expect(report.plates[5]!.problems.map(({ code }) => code)).toEqual(['mask-without-shape']);
    expect(named('.outline.svg')).toEqual(['a.outline.svg', 'b.outline.svg', 'c.outline.svg']);
    expect(named('.clear1.plate.png')).toEqual(['e.clear1.plate.png']);
    const told = (name: string) => JSON.parse(readFileSync(join(out, `${name}.report.json`), 'utf8'));
    // 20 mm wide for 90 px: 70 × 40 px and 40 × 40 px, corners rounded by half a millimetre
    const mm2 = (20 / 90) ** 2;
    expect(told('b').outline.areaMm2).toBeCloseTo(70 * 40 * mm2, -1);
    expect(told('c').outline.areaMm2 / told('b').outline.areaMm2).toBeCloseTo(40 / 70, 1);
    expect(told('b').outline.maskSha256).toBe(sha256(readFileSync(join(folder, 'one.png'))));
  });

  test('a mask for the whole list is for the rows that follow one; --resume sees that it has changed', async () => {
    const run = { outlineMask: mask('one.png', 10) };
    const rows = 'picture,name,outline\nsea.png,a,shape\nsea.png,b,\n';
    const outcomes = async () =>
      (await runList([list(rows)], out, { ...RELIEF, run, resume: true })).report.plates.map(
        ({ outcome }) => outcome,
      );
    expect(await outcomes()).toEqual(['made', 'made']);
    expect(await outcomes()).toEqual(['kept', 'kept']);
    mask('one.png', 40);
    expect(await outcomes()).toEqual(['made', 'kept']);
    rmSync(join(out, 'a.outline.pdf'));
    expect(await outcomes()).toEqual(['made', 'kept']);
    const none = 'picture,name\nsea.png,a\n';
    await expect(runList([list(none)], out, { ...RELIEF, run })).rejects.toThrow('no row has an outline');
  });
});

test('parts of a list make the files of the whole, under the same names', async () => {
  const rows = ['picture,name', ...Array.from({ length: 7 }, () => 'sea.png,A.')].join('\n');
  await runList([list(rows)], out, RELIEF);
  const parts = join(folder, 'parts');
  const rowsMade: number[] = [];
  for (const index of [2, 3, 1]) {
    const { report, told } = await runList([list(rows)], parts, { ...RELIEF, part: { index, of: 3 } });
    expect(report).toMatchObject({
      rows: 7,
      part: { index, of: 3 },
      contactSheet: `contact.part-${index}-of-3.html`,
    });
    rowsMade.push(...told);
  }
  expect(rowsMade.sort()).toEqual([1, 2, 3, 4, 5, 6, 7]);
  const { report } = await runList([list(rows)], parts, { ...RELIEF, resume: true });
  expect(report.counts).toEqual({ made: 0, kept: 7, refused: 0, failed: 0 });
  for (let index = 1; index <= 3; index++) rmSync(join(parts, `contact.part-${index}-of-3.html`));
  expect(hashesIn(parts)).toEqual(hashesIn(out));
});

test('job files that name their pictures, from their own folder; one that names none fails alone', async () => {
  const jobs = [
    list(JSON.stringify({ picture: 'sea.png', process: 'relief', widthMm: 20 }), 'ferry.job.json'),
    list(JSON.stringify({ process: 'relief' }), 'none.job.json'),
    list('{ "picture": ', 'torn.job.json'),
    list(JSON.stringify({ picture: 'shore.png', process: 'relief', widhtMm: 20 }), 'odd.json'),
  ];
  const { report } = await runList(jobs, out, { flags: { screen: 'bayer' } });
  expect(report.list).toBeNull();
  expect(report.plates.map(({ name, outcome, problems }) => [name, outcome, problems[0]?.code])).toEqual([
    ['ferry', 'made', undefined],
    ['none', 'failed', 'no-picture'],
    ['torn', 'failed', 'job-file-not-json'],
    ['odd', 'failed', 'unknown-setting'],
  ]);
});

test('a picture that lies in the folder of the plates is never written over', async () => {
  save(folder, 'a.plate.png', photograph(30, 20));
  const before = readFileSync(join(folder, 'a.plate.png'));
  const { report } = await runList([list('picture,name\na.plate.png,b\nsea.png,a\n')], folder, {
    ...RELIEF,
    run: { overwrite: true },
  });
  expect(report.plates.map(({ problems }) => problems[0]?.code)).toEqual([undefined, 'output-is-input']);
  expect(readFileSync(join(folder, 'a.plate.png')).equals(before)).toBe(true);
});

test('a dry run tells and writes nothing', async () => {
  const { report } = await runList([list('picture,name\nsea.png,a\nlost.png,b\n')], out, {
    ...RELIEF,
    run: { dryRun: true },
  });
  expect(report).toMatchObject({ dryRun: true, contactSheet: null, counts: { made: 1, failed: 1 } });
  expect(existsSync(out)).toBe(false);
});
