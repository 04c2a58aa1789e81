import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import * as z from 'zod';
import { EXIT } from '../../src/cli/exit-codes.ts';
import { reportSchema } from '../../src/report/schema.ts';
import { commandLines, registryLists, sampleOutput, settingsTable, withPart, withSample } from './readme.ts';

const top = fileURLToPath(new URL('../..', import.meta.url));
const path = join(top, 'README.md');

const folder = mkdtempSync(join(tmpdir(), 'etchwright-readme-'));
cpSync(join(top, 'examples'), join(folder, 'examples'), {
  recursive: true,
  filter: (source) => !source.endsWith('out'),
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs a command line of the README as a reader would, in a folder with the examples. */
function runLine(line: string): { readonly status: number | null; readonly stderr: string } {
  const program = `npx() { [ "$1" = etchwright ] && shift && "$NODE" "$MAIN" "$@"; }\nset -o pipefail\n${line}`;
  return spawnSync('bash', ['-c', program], {
    cwd: folder,
    encoding: 'utf8',
    input: '',
    env: { ...process.env, NODE: process.execPath, MAIN: join(top, 'bin/etchwright.js'), NO_COLOR: '1' },
  });
}

const linesOf = (text: string): string[] => commandLines(text).filter((line) => !line.startsWith('npm '));

/** What the first plate's command says today; it runs once more below, so nothing of it may stay. */
function firstSummary(text: string): string {
  const { status, stderr } = runLine(`${linesOf(text)[0]} && rm -r plates`);
  // what went wrong is no sample
  if (status !== 0) throw new Error(stderr);
  return stderr;
}

/** Run with UPDATE_README=1 to write the derived parts anew. */
function derive(text: string): string {
  return withPart(withPart(text, 'settings', settingsTable()), 'lists', registryLists());
}

if (process.env['UPDATE_README'] === '1') {
  const text = derive(readFileSync(path, 'utf8'));
  writeFileSync(path, withSample(text, firstSummary(text)));
}
const readme = readFileSync(path, 'utf8');

test('the derived parts are what the program says today (UPDATE_README=1 writes them anew)', () => {
  expect(readme).toBe(derive(readme));
});

test('every exit code is told', () => {
  const told = [...readme.matchAll(/^\| (\d+) \|/gm)].map(([, code]) => Number(code));
  expect(told).toEqual(Object.values(EXIT));
});

interface Node {
  readonly properties?: Record<string, Node>;
  readonly anyOf?: readonly Node[];
  readonly items?: Node;
}

function has(node: Node | undefined, names: readonly string[]): boolean {
  const [first, ...rest] = names;
  if (!node || first === undefined) return node !== undefined;
  return [node, ...(node.anyOf ?? []), ...(node.items ? [node.items] : [])].some((one) =>
    has(one.properties?.[first], rest),
  );
}

test('every field that the chapter on reports names is one', () => {
  const chapter = /^## Reading the report$([\s\S]*?)^## /m.exec(readme)?.[1] ?? '';
  const fields = [...chapter.matchAll(/^\| (`[^|]+`) \|/gm)].flatMap(([, cell]) =>
    [...cell!.matchAll(/`([^`]+)`/g)].map(([, name]) => name!),
  );
  expect(fields.length).toBeGreaterThan(10);
  const schema = z.toJSONSchema(reportSchema) as Node;
  expect(fields.filter((name) => !has(schema, name.split('.')))).toEqual([]);
});

test('the npm scripts that it names are there', () => {
  const { scripts } = JSON.parse(readFileSync(join(top, 'package.json'), 'utf8')) as {
    scripts: Record<string, string>;
  };
  const named = [...readme.matchAll(/npm run ([\w:-]+)/g)].map(([, name]) => name!);
  expect(named).toEqual(expect.arrayContaining(['demo', 'check']));
  expect(named.filter((name) => !(name in scripts))).toEqual([]);
});

/** A line takes a second on an idle machine. */
const SLOWEST_MS = 120_000;

test('the first plate shows what the program really says', { timeout: SLOWEST_MS }, () => {
  expect(sampleOutput(readme)).toBe(firstSummary(readme));
});

/** Every command line, run from top to bottom as a reader would, in a folder with the examples. */
describe('every command line works', () => {
  const lines = linesOf(readme);

  test('there are some', () => expect(lines.length).toBeGreaterThan(15));

  test.each(lines)('%s', { timeout: SLOWEST_MS }, (line) => {
    const { status, stderr } = runLine(line);
    const wanted = Number(/# exit (\d+)$/.exec(line)?.[1] ?? 0);
    expect(status, stderr).toBe(wanted);
  });
});
