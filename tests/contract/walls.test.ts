import { spawnSync } from 'node:child_process';
import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { breachesIn, type SourceFile } from './walls.ts';

const top = fileURLToPath(new URL('../..', import.meta.url));

const sources: SourceFile[] = readdirSync(join(top, 'src'), { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('.ts'))
  .map((file) => `src/${file.replaceAll('\\', '/')}`)
  .map((file) => ({ file, text: readFileSync(join(top, file), 'utf8') }));

test('every file of src/ keeps to its room', () => {
  expect(sources.length).toBeGreaterThan(50);
  expect(breachesIn(sources)).toEqual([]);
});

/** Faults planted on purpose: the file, its text, and what the test's wall must say of it. */
const PLANTED: readonly (readonly [file: string, text: string, breach: string | null])[] = [
  ['src/core/a.ts', "import { b } from '../io/b.ts';\nb();\n", 'imports io (../io/b.ts)'],
  ['src/core/deep/er/a.ts', "import { b } from '../../../io/b.ts';\nb();\n", 'imports io (../../../io/b.ts)'],
  [
    'src/core/a.ts',
    "import type { B } from '../job/b.ts';\nexport type C = B;\n",
    'imports job (../job/b.ts)',
  ],
  ['src/core/a.ts', "export { b } from '../run/b.ts';\n", 'imports run (../run/b.ts)'],
  ['src/core/a.ts', "export const a = await import('../cli/b.ts');\n", 'imports cli (../cli/b.ts)'],
  ['src/core/a.ts', "import { readFileSync } from 'node:fs';\nreadFileSync('a');\n", 'imports node:fs'],
  ['src/core/a.ts', "import os from 'os';\nos.cpus();\n", 'imports os'],
  ['src/core/a.ts', "import sharp from 'sharp';\nsharp();\n", 'imports sharp'],
  ['src/core/a.ts', "import { b } from 'fast-check';\nb();\n", 'imports fast-check'],
  ['src/core/a.ts', 'export const now = Date.now();\n', 'uses Date'],
  // biome-ignore lint/suspicious/noTemplateCurlyInString: planted code
  ['src/core/a.ts', 'export const now = `at ${Date.now()}`;\n', 'uses Date'],
  ['src/core/a.ts', 'export const now = performance.now();\n', 'uses performance'],
  ['src/core/a.ts', 'export const pid = process.pid;\n', 'uses process'],
  ['src/core/a.ts', 'export const pid = globalThis.process;\n', 'uses globalThis'],
  ['src/core/a.ts', "console.log('hello');\n", 'uses console'],
  ['src/core/a.ts', 'export const a = Buffer.alloc(1);\n', 'uses Buffer'],
  ['src/core/a.ts', 'export const a = crypto.randomUUID();\n', 'uses crypto'],
  ['src/io/a.ts', 'export const pid = process.pid;\n', 'uses process'],
  ['src/io/a.ts', "import { b } from '../job/b.ts';\nb();\n", 'imports job (../job/b.ts)'],
  ['src/io/a.ts', "import { Command } from 'commander';\nnew Command();\n", 'imports commander'],
  ['src/job/a.ts', "import { b } from '../io/b.ts';\nb();\n", 'imports io (../io/b.ts)'],
  ['src/job/a.ts', "import sharp from 'sharp';\nsharp();\n", 'imports sharp'],
  ['src/report/a.ts', "import { b } from '../run/b.ts';\nb();\n", 'imports run (../run/b.ts)'],
  ['src/report/a.ts', "import { b } from '../store/b.ts';\nb();\n", 'imports store (../store/b.ts)'],
  ['src/store/a.ts', "import { b } from '../io/b.ts';\nb();\n", 'imports io (../io/b.ts)'],
  ['src/run/a.ts', "import { b } from '../cli/b.ts';\nb();\n", 'imports cli (../cli/b.ts)'],
  ['src/run/a.ts', "import { Chalk } from 'chalk';\nnew Chalk();\n", 'imports chalk'],
  ['src/cli/a.ts', "import { b } from '../io/b.ts';\nb();\n", 'imports io (../io/b.ts)'],
  ['src/cli/a.ts', "import sharp from 'sharp';\nsharp();\n", 'imports sharp'],
  // what stands in comments and texts is no breach, and neither is a name of one's own
  ['src/core/a.ts', "// process.pid, Date\nexport const a = 'Date of process'; /* console */\n", null],
  ['src/core/a.ts', 'export interface A {\n  readonly process: string;\n}\n', null],
  ['src/core/a.ts', "import * as z from 'zod';\nexport const a = z.number();\n", null],
  ['src/job/a.ts', 'export const a = (process: { kind: string }) => process.kind;\n', null],
];

/** Judged by the test's wall alone: for these the linter has no rule, or a coarser one. */
const TEST_ALONE: typeof PLANTED = [
  ['src/core/a.ts', "import { b } from './io/b.ts';\nexport const a = b;\n", null],
  ['src/core/a.ts', 'export const a = Math.random();\n', 'uses Math.random'],
  ['src/core/a.ts', 'export const a = import.meta.url;\n', 'uses import.meta'],
  ['src/run/a.ts', "import sharp from 'sharp';\nsharp();\n", 'imports sharp'],
  [
    'src/run/a.ts',
    "const name = 'b';\nawait import(name);\n",
    'imports a computed name, which no wall can check',
  ],
  [
    'src/core/a.ts',
    "import { b } from '../../tests/b.ts';\nb();\n",
    'imports ../../tests/b.ts, which lies outside src/',
  ],
  ['src/shared/a.ts', 'export const a = 1;\n', 'shared is not a room of src/'],
];

test.each([...PLANTED, ...TEST_ALONE])('the test sees what is planted: %s %j', (file, text, what) => {
  expect(breachesIn([{ file, text }])).toEqual(what === null ? [] : [{ file, what }]);
});

test('import cycles are seen, types included', () => {
  const found = breachesIn([
    { file: 'src/core/a.ts', text: "import { b } from './deep/b.ts';\n" },
    { file: 'src/core/deep/b.ts', text: "import type { C } from '../c.ts';\n" },
    { file: 'src/core/c.ts', text: "export { a } from './a.ts';\n" },
    { file: 'src/core/d.ts', text: "import { a } from './a.ts';\n" },
  ]);
  expect(found).toEqual([
    {
      file: 'src/core/a.ts',
      what: 'import cycle: src/core/a.ts → src/core/deep/b.ts → src/core/c.ts → src/core/a.ts',
    },
  ]);
});

test('the linter sees what is planted', () => {
  const folder = mkdtempSync(join(tmpdir(), 'etchwright-walls-'));
  try {
    for (const name of ['.biome.json', '.gitignore']) copyFileSync(join(top, name), join(folder, name));
    const planted = PLANTED.map(([file, text, what], index) => ({
      file: file.replace('a.ts', `a${index}.ts`),
      text,
      what,
    }));
    for (const { file, text } of planted) {
      mkdirSync(join(folder, dirname(file)), { recursive: true });
      writeFileSync(join(folder, file), text);
    }
    const biome = join(top, 'node_modules/.bin/biome');
    const { stdout } = spawnSync(biome, ['lint', '--reporter=json', '--max-diagnostics=none', '.'], {
      cwd: folder,
      encoding: 'utf8',
    });
    const { diagnostics } = JSON.parse(stdout) as {
      diagnostics: { category: string; severity: string; location: { path: string } }[];
    };
    const walls = /^lint\/(style\/noRestricted(Imports|Globals)|suspicious\/noConsole)$/;
    const red = new Set(
      diagnostics
        .filter(({ category, severity }) => walls.test(category) && severity === 'error')
        .map(({ location }) => location.path.replaceAll('\\', '/')),
    );
    for (const { file, text, what } of planted) expect(red.has(file), `${file}: ${text}`).toBe(what !== null);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
