import { describe, expect, test } from 'vitest';
import { readCsv } from '../../src/io/csv.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { isColumn, readList } from '../../src/job/list.ts';
import { jobSettings } from '../../src/job/settings.ts';

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const read = (text: string | Uint8Array) =>
  readList(readCsv(typeof text === 'string' ? utf8(text) : text, 'l.csv', isColumn), 'l.csv', [
    'format',
    'dry-run',
  ]);
const row = (line: number, picture: string, values: object) => ({ line, picture, values });
const seen = (text: string | Uint8Array) =>
  read(text).rows.map(({ line, picture, layer }) => row(line, picture, layer.values));

describe('one list, however it is written', () => {
  const wanted = [
    row(2, 'a.png', { widthMm: '10,7cm', capPercent: '80' }),
    row(3, 'b c.png', { capPercent: '70' }),
  ];
  const comma = 'picture,width,cap\na.png,"10,7cm",80\nb c.png,,70\n';
  const semicolon = 'picture;width;cap\na.png;10,7cm;80\nb c.png;;70\n';
  test.each([
    ['commas', comma],
    ['semicolons', semicolon],
    ['tabs', semicolon.replaceAll(';', '\t')],
    ['byte-order mark', `\uFEFF${comma}`],
    ['line ends of Windows', comma.replaceAll('\n', '\r\n')],
    ['line ends of old Macs', comma.replaceAll('\n', '\r')],
    ['all quoted', '"picture","width","cap"\n"a.png","10,7cm","80"\n"b c.png","","70"'],
    ['spaces about', 'picture , width , cap\n a.png , "10,7cm" , 80 \nb c.png,,70'],
    ['names of the job file', comma.replace('width,cap', 'widthMm,capPercent')],
    ['dashes and capitals', comma.replace('width,cap', '--WIDTH,Cap')],
  ])('%s', (_, text) => expect(seen(text)).toEqual(wanted));

  test('UTF-16 with its mark, as spreadsheets call Unicode text', () => {
    const text = semicolon.replaceAll(';', '\t');
    expect(seen(Buffer.from(`\uFEFF${text}`, 'utf16le'))).toEqual(wanted);
    expect(seen(Buffer.from(`\uFEFF${text}`, 'utf16le').swap16())).toEqual(wanted);
  });
});

test('blank lines, rows of separators and empty columns are passed over; lines are those of the file', () => {
  const text = '\n\npicture,comment,\n\na.png,"two\r\nlines",\n,,\n  \nb.png,,\n';
  expect(seen(text)).toEqual([row(5, 'a.png', {}), row(9, 'b.png', {})]);
});

test('a picture in quotation marks keeps its separators, marks and line breaks', () =>
  expect(seen('picture,cap\n"a, ""b""\nc.png",80').map(({ picture }) => picture)).toEqual(['a, "b"\nc.png']));

test('every setting of a job is a column by both of its names', () => {
  for (const { key, flag } of jobSettings) {
    expect(isColumn(key), key).toBe(true);
    expect(isColumn(flag), flag).toBe(true);
  }
});

describe('what is wrong', () => {
  const messages = (text: string) => read(text).problems.map(({ message, hint }) => `${message} | ${hint}`);

  test('of the header, all at once', () =>
    expect(messages('\npictur,widht,--width,format,dryRun\na,b,c,d,e\n')).toEqual([
      expect.stringMatching(/line 2: .*"pictur" \| Did you mean "picture"\?/),
      expect.stringMatching(/line 2: .*"widht" \| Did you mean "width"\?/),
      expect.stringMatching(/"format" \| It holds for the whole list: give --format/),
      expect.stringMatching(/"dryRun" \| It holds for the whole list: give --dry-run/),
      expect.stringMatching(/no column is called "picture"/),
    ]));

  test('one setting in two columns; no rows', () => {
    expect(messages('picture,width,widthMm\na,1,2\n')).toEqual([
      expect.stringMatching(/"width" and "widthMm" are the same/),
    ]);
    expect(messages('picture\n')).toEqual([expect.stringMatching(/no row follows/)]);
  });

  test.each([
    ['', /there is nothing in it/],
    ['\n \n', /there is nothing in it/],
    ['picture,cap\na.png,"80\n', /line 2: a quotation mark is not closed/],
    ['picture,cap\n"a.png"x,80\n', /line 2: something follows a closing/],
    ['picture,cap\na"b".png,80\n', /line 2: a quotation mark stands in/],
  ])('%j is no list', (text, why) => expect(() => read(text)).toThrow(why));

  test('bytes that are not UTF-8 are refused, not guessed', () =>
    expect(() => read(Buffer.from('picture\nZo\xeb.png\n', 'latin1'))).toThrow(/UTF-8/));

  test('of rows, each by itself, with line and column', () => {
    const { rows } = read('picture,cap,process\na.png,800,relief\n,80,relief,,stray\nc.png,70,relief\n');
    const problems = rows.map(({ layer, problems }) => [
      ...problems.map(({ message }) => message),
      ...resolveJob([layer]).problems.map(({ message }) => message),
    ]);
    expect(problems).toEqual([
      ['l.csv, line 2, column "cap": "800" does not fit'],
      [
        'l.csv, line 3: "stray" stands in column 5, which has no name',
        'l.csv, line 3, column "picture": nothing stands there',
      ],
      [],
    ]);
  });
});

test('a row is stronger than flags, flags than a job file', () => {
  const [{ layer } = expect.fail()] = read('picture,cap,process\na.png,71,\n').rows;
  const { job, origins } = resolveJob([
    { origin: 'job', name: 'j', values: { process: 'intaglio', capPercent: 73, gamma: 2, widthMm: 50 } },
    { origin: 'flag', name: '', values: { capPercent: '72', gamma: '1.5' } },
    layer,
  ]);
  expect(job).toMatchObject({ process: 'intaglio', capPercent: 71, gamma: 1.5, widthMm: 50 });
  expect(origins).toMatchObject({
    process: 'job',
    capPercent: 'row',
    gamma: 'flag',
    widthMm: 'job',
    dpi: 'default',
  });
});
