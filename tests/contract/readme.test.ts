import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import * as z from 'zod';
import { EXIT } from '../../src/cli/exit-codes.ts';
import { reportSchema } from '../../src/report/schema.ts';
import { commandLines, registryLists, settingsTable, withPart } from './readme.ts';

const top = fileURLToPath(new URL('../..', import.meta.url));
const path = join(top, 'README.md');

/** Run with UPDATE_README=1 to write the derived parts anew. */
function derive(text: string): string {
  return withPart(withPart(text, 'settings', settingsTable()), 'lists', registryLists());
}

if (process.env['UPDATE_README'] === '1') writeFileSync(path, derive(readFileSync(path, 'utf8')));
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

/** Every command line, run from top to bottom as a reader would, in a folder with the examples. */
describe('every command line works', () => {
  const folder = mkdtempSync(join(tmpdir(), 'etchwright-readme-'));
  cpSync(join(top, 'examples'), join(folder, 'examples'), {
    recursive: true,
    filter: (source) => !source.endsWith('out'),
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const lines = commandLines(readme).filter((line) => !line.startsWith('npm '));

  test('there are some', () => expect(lines.length).toBeGreaterThan(15));

  test.each(lines)('%s', { timeout: SLOWEST_MS }, (line) => {
    const program = `npx() { [ "$1" = etchwright ] && shift && "$NODE" "$MAIN" "$@"; }\nset -o pipefail\n${line}`;
    const { status, stderr } = spawnSync('bash', ['-c', program], {
      cwd: folder,
      encoding: 'utf8',
      input: '',
      env: { ...process.env, NODE: process.execPath, MAIN: join(top, 'bin/etchwright.js'), NO_COLOR: '1' },
    });
    const wanted = Number(/# exit (\d+)$/.exec(line)?.[1] ?? 0);
    expect(status, stderr).toBe(wanted);
  });
});
