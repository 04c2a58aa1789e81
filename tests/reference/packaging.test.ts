/** What npm would send out: as few files as can be, and a program that runs in an empty folder, on this Node and on a newer one. */
import { createHash } from 'node:crypto';
import { cpSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openStranger } from './newcomer.ts';

const root = join(import.meta.dirname, '../..');
const PATIENCE_MS = 600_000;
/** The version after ours with long-term support. */
const NEWER = 24;

const stranger = openStranger('packaging');
afterAll(stranger.leave);
const place = join(stranger.folder, 'empty');
const quoted = (path: string): string => JSON.stringify(path);
let packed: readonly string[] = [];

beforeAll(() => {
  mkdirSync(place);
  // built by whoever runs this; building anew would take the program away from tests beside this one
  const { stdout } = stranger.run(
    `npm pack --ignore-scripts --json --pack-destination ${quoted(stranger.folder)}`,
    root,
  );
  const told: unknown = JSON.parse(stdout);
  const [pack] = (Array.isArray(told) ? told : Object.values(told as object)) as {
    filename: string;
    files: { path: string }[];
  }[];
  packed = pack!.files.map(({ path }) => path);
  stranger.run(
    `npm install --silent --ignore-scripts ${quoted(join(stranger.folder, pack!.filename))}`,
    place,
  );
  for (const name of ['ferry-key.png', 'sound-tone.png'])
    cpSync(join(root, 'examples', name), join(place, name));
}, PATIENCE_MS);

test('only what is run, read or compiled against is packed', () => {
  const chunk = /^dist\/program\/[\w-]+-[A-Z0-9]{8}\.js$/;
  expect(packed.filter((path) => !chunk.test(path)).toSorted()).toEqual([
    'LICENSE',
    'README.md',
    'bin/etchwright.js',
    'dist/program/index.js',
    'dist/program/main.js',
    'dist/program/worker.js',
    'dist/types/api/index.d.ts',
    'dist/types/core/errors.d.ts',
    'dist/types/report/schema.d.ts',
    'package.json',
  ]);
  const text = packed
    .filter((path) => path.endsWith('.js'))
    .map((path) => readFileSync(join(root, path), 'utf8'));
  const isNamed = (path: string): boolean =>
    text.some((one) => one.includes(path.replace('dist/program/', './')));
  expect(packed.filter((path) => chunk.test(path) && !isNamed(path))).toEqual([]);
});

test('nothing that it needs comes with a script that must run at installing', () => {
  // installed with --ignore-scripts; the decoder is the only part that is no JavaScript
  expect(stranger.run('npm ls --omit=dev --depth=0', place).stdout).toContain('etchwright@');
  expect(stranger.run('npx --no-install etchwright list formats', place).stdout).toContain('png');
});

/** Everything once: all formats, several threads, a list on two lanes, and a program of its own. Hashes of what comes out. */
function hashesOn(node: string, out: string): string[] {
  const bin = `${quoted(node)} node_modules/etchwright/bin/etchwright.js`;
  const lines = [
    `${bin} prepare ferry-key.png --process relief --width 250mm --workers 3 --format png,tiff,bmp,pdf --proof --out ${out} --quiet`,
    `${bin} batch list.csv --process intaglio --workers 2 --out ${out} --quiet`,
    `${quoted(node)} program.mjs ${out}`,
  ];
  writeFileSync(
    join(place, 'list.csv'),
    'picture,name,width\nsound-tone.png,A,60\nferry-key.png,B,70\nsound-tone.png,C,80\n',
  );
  writeFileSync(
    join(place, 'program.mjs'),
    `import { prepare } from 'etchwright';
const { files } = await prepare({ picture: 'ferry-key.png', job: { process: 'relief', widthMm: '5cm' }, out: process.argv[2], name: 'own' });
if (files.length !== 2) process.exitCode = 1;`,
  );
  // engines complain on standard error, of flags they do not know and of what they will drop
  for (const line of lines) expect(stranger.run(line, place).stderr).toBe('');
  const names = [
    ...['png', 'tif', 'bmp', 'pdf'].map((end) => `ferry-key.plate.${end}`),
    'ferry-key.proof.png',
  ];
  return [...names, 'A.plate.png', 'B.plate.png', 'C.plate.png', 'own.plate.png', 'own.report.json'].map(
    (name) =>
      createHash('sha256')
        .update(readFileSync(join(place, out, name)))
        .digest('hex'),
  );
}

describe('runs in an empty folder', () => {
  let here: readonly string[] = [];

  test('on this Node', { timeout: PATIENCE_MS }, () => {
    here = hashesOn(process.execPath, 'here');
    expect(new Set(here).size).toBe(here.length);
  });

  test(`on Node ${NEWER}, without a word from its engine, to the same bytes`, {
    timeout: PATIENCE_MS,
  }, (context) => {
    const newer = join(stranger.folder, 'newer');
    mkdirSync(newer);
    try {
      // its own script fetches the program for this system
      stranger.run(`npm install --silent --ignore-scripts=false node@${NEWER}`, newer);
    } catch (error) {
      context.skip(`npm does not give Node ${NEWER}: ${(error as Error).message.split('\n', 1)[0]}`);
    }
    const node = join(newer, 'node_modules/node/bin/node');
    if (!existsSync(node)) context.skip(`there is no Node ${NEWER} for this system`);
    expect(stranger.run(`${quoted(node)} --version`).stdout).toMatch(new RegExp(`^v${NEWER}\\.`));
    expect(hashesOn(node, 'newer')).toEqual(here);
  });
});
