import { spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import * as z from 'zod';
import { EXIT } from '../../src/cli/exit-codes.ts';
import { reportSchema } from '../../src/report/schema.ts';
import {
  blocksOf,
  commandLines,
  registryLists,
  sampleOutput,
  settingsTable,
  withPart,
  withSample,
} from './readme.ts';

const top = fileURLToPath(new URL('../..', import.meta.url));
const path = join(top, 'README.md');

const folder = mkdtempSync(join(tmpdir(), 'etchwright-readme-'));
cpSync(join(top, 'examples'), join(folder, 'examples'), {
  recursive: true,
  filter: (source) => !source.endsWith('out'),
});
// nothing of this user's
mkdirSync(join(folder, 'home'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Ran {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs a command line of the README as a reader would, in a folder with the examples and with an empty home. */
function runLine(line: string, cwd = folder): Ran {
  const program = `etchwright() { "$NODE" "$MAIN" "$@"; }
npx() { [ "$1" = etchwright ] && "$@"; }
export -f etchwright\nset -o pipefail\n${line}`;
  return spawnSync('bash', ['-c', program], {
    cwd,
    encoding: 'utf8',
    input: '',
    env: {
      ...process.env,
      NODE: process.execPath,
      MAIN: join(top, 'bin/etchwright.js'),
      HOME: join(folder, 'home'),
      NO_COLOR: '1',
    },
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
  const ran = new Map<string, Ran>();

  test('there are some', () => expect(lines.length).toBeGreaterThan(15));

  test.each(lines)('%s', { timeout: SLOWEST_MS }, (line) => {
    const run = runLine(line);
    ran.set(line, run);
    const { status, stderr } = run;
    const wanted = Number(/# exit (\d+)$/.exec(line)?.[1] ?? 0);
    expect(status, stderr).toBe(wanted);
  });

  /** What the README promises in numbers; the command that prints them, and where they then stand. */
  const promises: readonly {
    readonly promised: RegExp;
    readonly by: RegExp;
    printed(run: Ran): string;
    wanted(numbers: string[]): string[];
  }[] = [
    {
      promised: /Here that is (\d+) instead of (\d+) minutes/,
      by: / --clearing /,
      printed: ({ stderr }) => stderr,
      wanted: ([less, all]) => [`about ${less}:`, ` of ${all}:00 min saved`],
    },
    {
      promised: /`ferry-key\.(clear1)\.plate\.png` to `(clear\d)`/,
      by: / --clearing /,
      printed: ({ stderr }) => stderr,
      wanted: (names) => names.map((name) => `.${name}.plate.png`),
    },
    {
      promised: /500 dpi is stored as 19,685 a metre, which is ([\d.]+) dpi \(`(statedDpi)`\)/,
      by: /^npx etchwright prepare examples\/ferry-key\.png --process relief --width 200mm --out plates$/,
      printed: () => readFileSync(join(folder, 'plates/ferry-key.report.json'), 'utf8'),
      wanted: ([dpi, field]) => [`"${field}": {\n        "x": ${dpi},`],
    },
    {
      promised: /Its black is capped at (\d+) %/,
      by: / examples\/sound-tone\.png --process intaglio --width 150mm /,
      printed: () => readFileSync(join(folder, 'plates/sound-tone.report.json'), 'utf8'),
      wanted: ([cap]) => [`"capPercent": ${cap},`],
    },
    {
      promised: /`examples\/class\/` holds its invented class of (fifteen)/,
      by: / class\.job\.json --out afternoon # exit 6$| --out afternoon # exit 6$/,
      printed: ({ stderr }) => stderr,
      wanted: () => ['15 '],
    },
  ];

  test.each(promises)('what it promises is printed: $promised', ({ promised, by, printed, wanted }) => {
    const numbers = promised.exec(readme)?.slice(1);
    const line = lines.find((one) => by.test(one));
    expect([numbers, line]).not.toContain(undefined);
    const text = printed(ran.get(line!) ?? runLine(line!));
    for (const words of wanted(numbers!)) expect(text).toContain(words);
  });
});

/** What else it shows, with the files that each kind of block speaks of; a new kind wants its own way to be tried. */
describe('what is no command works as well', () => {
  const place = mkdtempSync(join(folder, 'blocks-'));
  const example = (from: string, to: string): void => cpSync(join(top, 'examples', from), join(place, to));
  const codeOf = (kind: string): string[] =>
    blocksOf(readme).flatMap((block) => (block.kind === kind ? [block.code] : []));

  test('every kind of block is tried', () => {
    const kinds = new Set(blocksOf(readme).map(({ kind }) => kind));
    // text is what the first plate's command prints
    expect([...kinds].toSorted()).toEqual(['bash', 'csv', 'js', 'make', 'sh', 'text']);
  });

  test('programs', { timeout: SLOWEST_MS }, () => {
    example('ferry-key.png', 'ferry.png');
    mkdirSync(join(place, 'node_modules'));
    symlinkSync(top, join(place, 'node_modules/etchwright'), 'junction');
    for (const [index, code] of codeOf('js').entries()) {
      writeFileSync(join(place, `${index}.mjs`), code);
      const { status, stdout, stderr } = runLine(`"$NODE" ${index}.mjs`, place);
      expect([status, stderr]).toEqual([0, '']);
      expect(stdout).toContain('ferry.plate.png');
    }
    expect(existsSync(join(place, 'plates/ferry.plate.png'))).toBe(true);
  });

  test('lists, and makefiles and scripts that share them out', { timeout: SLOWEST_MS }, () => {
    for (const name of ['tree.jpg', 'gulls.jpg', 'net loft.jpg']) example('class/harbour.jpg', name);
    writeFileSync(join(place, 'class.job.json'), '{"process": "intaglio", "widthMm": 40, "dpi": 300}');
    writeFileSync(join(place, 'list.csv'), codeOf('csv').join(''));
    for (const [index, code] of codeOf('make').entries()) {
      writeFileSync(join(place, `${index}.mk`), code);
      const { status, stderr } = runLine(`make -j2 -s SHELL=/bin/bash -f ${index}.mk`, place);
      expect(status, stderr).toBe(0);
    }
    const made = ['Ada-P.plate.png', 'Ada-P-2.plate.png', 'Brandt-Jonas.mend.html', 'contact.html'];
    expect(made.filter((name) => !existsSync(join(place, 'plates', name)))).toEqual([]);
    // neither of the two that share out is to be had everywhere: here each does some parts one after the other, and 6 is no failure
    const shares = `trap '[ $? -eq 6 ] || exit 1' ERR
parallel() { for n in 1 4; do "\${@/\\{\\}/$n}" || [ $? -eq 6 ] || return; done; }
sbatch() { for SLURM_ARRAY_TASK_ID in 1 8; do eval "$3" || [ $? -eq 6 ] || return; done; }`;
    for (const code of codeOf('bash')) {
      const run = runLine(`${shares}\n${code.replace(/ :::.*$/m, '')}`, place);
      expect(run.status, run.stderr).toBe(0);
    }
  });
});
