import { expect, test } from 'vitest';
import { comparisonText, faultLines, pageText } from '../../src/cli/render/notebook.ts';
import { type ListItem, listItem, openListTable } from '../../src/cli/render/notebook-table.ts';
import { openTalk } from '../../src/cli/talk.ts';
import { compareEntries } from '../../src/store/notebook/changes.ts';
import { calibrationEntry, gangEntry, noteEntry, plateEntry, stripEntry } from '../store/notebook/entries.ts';

const talk = openTalk({ color: false });
/** The whole of a table. */
function tableOf(rows: readonly ListItem[]): string {
  const printed: string[] = [];
  const table = openListTable((lines) => printed.push(lines));
  rows.forEach(table.add);
  table.end();
  return printed.join('\n');
}
const long = (word: string): string => `${word} `.repeat(30).trim();

test('the longest that may stand in a table keeps to 80 columns, and names can still be told apart', () => {
  const plate = plateEntry({
    name: 'the night ferry seen from the breakwater',
    plate: { process: 'intaglio', widthMm: 600, heightMm: 400, dpi: 500 },
    screen: { kind: 'errordiffusion' },
    material: { id: 'end-grain pear of the north', kind: 'wood', batch: 'B7', confirmedBy: null },
    timeS: 7265,
    coverage: { etched: 0.583, inked: 0.417, predicted: null },
  });
  const page = { number: 100_001, entry: plate, notes: [noteEntry(plate.id, { verdict: 'partly' })] };
  const refused = { ...page, number: 1, entry: { ...plate, made: false, name: 'ferry' } };
  const table = tableOf([listItem(page), listItem(refused)]);
  for (const line of table.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  expect(table).toContain('the n');
});

test('lists tell scripts the kinds, numbers and nothings of the entries, not the letters of the table', () => {
  const plate = plateEntry({ name: 'sea', timeS: 7265.4, material: null });
  expect(listItem({ number: 3, entry: plate, notes: [] })).toEqual({
    number: 3,
    id: plate.id,
    at: plate.at,
    kind: 'plate',
    name: 'sea',
    made: true,
    process: plate.plate.process,
    screen: plate.screen.kind,
    material: null,
    etched: plate.coverage.etched,
    timeS: 7265.4,
    verdict: null,
  });
  const gang = listItem({ number: 4, entry: gangEntry(), notes: [noteEntry(plate.id, { verdict: 'held' })] });
  expect(gang).toMatchObject({ kind: 'gang', screen: null, verdict: 'held' });
  expect(listItem({ number: 5, entry: calibrationEntry(), notes: [] }).kind).toBe('calibration');
});

test.each([
  ['refused', plateEntry({ made: false })],
  ['drifted', stripEntry({ made: false, holds: false })],
])('what was not made is told as %s', (word, entry) => {
  const page = { number: 1, entry, notes: [] };
  expect(tableOf([listItem(page)])).toMatch(new RegExp(` ${word}$`));
  expect(pageText(page, talk).split('\n')[0]).toMatch(new RegExp(`, ${word}$`));
});

test('pages and comparisons keep to 80 columns where words allow it', () => {
  const first = plateEntry({ name: 'a', note: long('rain') });
  const second = plateEntry({
    name: long('gulls').slice(0, 70),
    job: { ...first.job, title: long('sea') },
    cautions: [{ code: 'gaps-fill', severity: 'warn', text: long('gap') }],
    input: { name: 'f.png', sha256: 'f'.repeat(64), path: null },
  });
  const notes = [noteEntry(second.id, { words: long('held') })];
  const [a, b] = [
    { number: 1, entry: first, notes: [] },
    { number: 2, entry: second, notes },
  ];
  const text = [comparisonText(a, b, compareEntries(first, second)), pageText(a, talk), pageText(b, talk)];
  for (const line of text.join('\n').split('\n')) expect(line.length, line).toBeLessThanOrEqual(80);
});

test('of many lines that cannot be read the first few are told, and how many there are', () => {
  const faults = Array.from({ length: 900 }, (_, i) => ({
    line: i + 1,
    fault: 'torn' as const,
    what: 'torn',
  }));
  const told = faultLines('book.jsonl', faults);
  expect(told).toHaveLength(6);
  expect(told.at(-1)).toContain('895 further lines');
  expect(faultLines('book.jsonl', faults.slice(0, 2))).toHaveLength(2);
});
