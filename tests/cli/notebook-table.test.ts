import { expect, test } from 'vitest';
import { comparisonText, faultLines, listRow, listTable, pageText } from '../../src/cli/render-notebook.ts';
import { openTalk } from '../../src/cli/talk.ts';
import { compareEntries } from '../../src/store/notebook/changes.ts';
import { noteEntry, plateEntry } from '../store/notebook/entries.ts';

const talk = openTalk({ color: false });
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
  const page = { number: 100_001, plate, notes: [noteEntry(plate.id, { verdict: 'partly' })] };
  const refused = { ...page, number: 1, plate: { ...plate, made: false, name: 'ferry' } };
  const table = listTable([listRow(page), listRow(refused)]);
  for (const line of table.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  expect(table).toContain('the n');
});

test('pages and comparisons keep to 80 columns where words allow it', () => {
  const first = plateEntry({ name: 'a', note: long('rain') });
  const second = plateEntry({
    name: long('gulls').slice(0, 70),
    job: { ...first.job, title: long('sea') },
    cautions: [{ code: 'gaps-fill', severity: 'warn', text: long('gap') }],
    input: { name: 'f.png', sha256: 'f'.repeat(64) },
  });
  const notes = [noteEntry(second.id, { words: long('held') })];
  const [a, b] = [
    { number: 1, plate: first, notes: [] },
    { number: 2, plate: second, notes },
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
