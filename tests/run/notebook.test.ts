import { spawn } from 'node:child_process';
import { appendFileSync, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { initNotebook, openNotebook, pagesCalled, pagesOf } from '../../src/run/records/notebook.ts';
import type { Page } from '../../src/store/notebook/pages.ts';
import type { Fault } from '../../src/store/read-line.ts';
import { noteEntry, plateEntry } from '../store/notebook/entries.ts';

let folder = '';
let path = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'notebook-'));
  path = join(folder, 'book.jsonl');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const epoch = (): Date => new Date(0);
const lineOf = (value: unknown): string => `${JSON.stringify(value)}\n`;

async function read(): Promise<{ pages: Page[]; faults: Fault[] }> {
  const pages: Page[] = [];
  const faults: Fault[] = [];
  for await (const page of pagesOf(path, (fault) => faults.push(fault))) pages.push(page);
  return { pages, faults };
}

test('8 processes that add 200 entries each lose none and spoil none', async () => {
  writeFileSync(path, lineOf(plateEntry()));
  const script = join(import.meta.dirname, 'append-entries.mjs');
  const writers = Array.from({ length: 8 }, (_, writer) => `w${writer}`);
  const codes = await Promise.all(
    writers.map(
      (writer) =>
        new Promise((resolve) => {
          spawn(process.execPath, [script, path, writer, '200'], { stdio: 'inherit' }).on('exit', resolve);
        }),
    ),
  );
  expect(codes).toEqual(writers.map(() => 0));
  const { pages, faults } = await read();
  expect(faults).toEqual([]);
  const seen = pages[0]!.notes.map(({ seen: { words } }) => words!.split(' ')[0]!);
  expect(seen).toHaveLength(1600);
  // each writer's own entries stand in its own order
  for (const writer of writers)
    expect(seen.filter((word) => word.startsWith(`${writer}-`))).toEqual(
      Array.from({ length: 200 }, (_, i) => `${writer}-${i}`),
    );
  expect(new Set(pages[0]!.notes.map(({ id }) => id)).size).toBe(1600);
}, 120_000);

test('an entry torn off by a kill is lost alone: the next ones are whole', async () => {
  writeFileSync(path, lineOf(plateEntry()) + lineOf(noteEntry('e00000000001', { words: 'to be torn' })));
  truncateSync(path, readFileSync(path).length - 20);
  const notebook = await openNotebook(path, epoch);
  await notebook.add({ kind: 'note', about: 'e00000000001', seen: { words: 'after' } });
  await notebook.close();
  const { pages, faults } = await read();
  expect(faults).toMatchObject([{ line: 2, what: 'it ends in the middle, or is not JSON' }]);
  expect(pages.map(({ notes }) => notes.map(({ seen }) => seen.words))).toEqual([['after']]);
});

test('adding changes no byte that stands there', async () => {
  const before = lineOf(plateEntry());
  writeFileSync(path, before);
  const notebook = await openNotebook(path, epoch);
  await notebook.add({ kind: 'note', about: 'e00000000001', seen: { verdict: 'held' } });
  await notebook.close();
  expect(readFileSync(path, 'utf8').startsWith(before)).toBe(true);
});

test('lines longer than a read, letters cut by it, and ends of other systems are read', async () => {
  const long = plateEntry({ note: 'ä'.repeat(2000), name: 'ü'.repeat(100) });
  writeFileSync(path, Array.from({ length: 200 }, () => lineOf(long).replace('\n', '\r\n')).join(''));
  const { pages, faults } = await read();
  expect(faults).toEqual([]);
  expect(pages).toHaveLength(200);
  expect(pages.every(({ entry }) => entry.note === long.note)).toBe(true);
});

test('entries are called by number or by the beginning of their id; what is not clear is told', async () => {
  writeFileSync(path, lineOf(plateEntry()) + lineOf(plateEntry({ id: 'e0000abc0002', name: 'second' })));
  const names = async (...asked: string[]) => (await pagesCalled(path, asked)).map(({ entry }) => entry.name);
  expect(await names('2', '1')).toEqual(['second', 'ferry']);
  expect(await names('E0000ABC')).toEqual(['second']);
  expect(await names('1', '1')).toEqual(['ferry', 'ferry']);
  await expect(names('e0000')).rejects.toMatchObject({ code: 'entry-not-clear', kind: 'usage' });
  await expect(names('e00')).rejects.toMatchObject({ code: 'no-such-entry' });
  await expect(names('3')).rejects.toMatchObject({ code: 'no-such-entry' });
});

test('nothing is added to a file that is no notebook: a picture, a ledger, a text', async () => {
  const ledger = { version: 1, id: 'e00000000001', at: '2031-05-03T09:00:00.000Z', kind: 'close' };
  const others = [
    Buffer.from([137, 80, 78, 71, 13, 10, 26, 10, 0]),
    lineOf(ledger),
    'a shopping list',
    '\0'.repeat(9e6),
  ];
  for (const bytes of others) {
    writeFileSync(path, bytes);
    await expect(openNotebook(path, epoch)).rejects.toMatchObject({ kind: 'usage', code: 'not-a-notebook' });
    expect(readFileSync(path).equals(Buffer.from(bytes))).toBe(true);
  }
  const ours = [
    '',
    '\n',
    lineOf(plateEntry()).slice(0, 5),
    `x\n${lineOf(plateEntry())}`,
    '{"version":9}\n',
    '{"version":1,"id":"e',
  ];
  for (const text of ours) {
    writeFileSync(path, text);
    await (await openNotebook(path, epoch)).close();
  }
});

test('a notebook is begun once, and only one that is there is written', async () => {
  const owner = { hostId: 'test', pid: process.pid, isAlive: () => true };
  await initNotebook(path, owner);
  appendFileSync(path, lineOf(plateEntry()));
  await expect(initNotebook(path, owner)).rejects.toMatchObject({ kind: 'output' });
  expect((await read()).pages).toHaveLength(1);
  await expect(openNotebook(join(folder, 'other.jsonl'), epoch)).rejects.toMatchObject({ kind: 'output' });
});
