import { spawnSync } from 'node:child_process';
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { afterEach, beforeEach, expect, test } from 'vitest';
// as others import it, out of the package
import { EtchError, JobError, prepare } from '../../dist/program/index.js';
import { reportSchema } from '../../src/report/schema.ts';
import { photograph, save } from '../run/pictures.ts';

const root = join(import.meta.dirname, '../..');
let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'api-'));
  save(folder, 'sea.png', photograph(90, 60));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const job = { process: 'relief', widthMm: '3cm', screen: 'threshold' };

test('makes the plate that the command makes', async () => {
  const steps: string[] = [];
  const made = await prepare({
    picture: join(folder, 'sea.png'),
    job,
    out: folder,
    onProgress: (step: string) => steps.push(step),
  });
  expect(made.files).toEqual([join(folder, 'sea.plate.png'), join(folder, 'sea.report.json')]);
  expect(made.refused).toBe(false);
  expect(reportSchema.parse(JSON.parse(readFileSync(made.files[1]!, 'utf8')))).toEqual(made.report);
  expect(new Set(steps).size).toBeGreaterThan(1);
  const args = [
    'bin/etchwright.js',
    'prepare',
    join(folder, 'sea.png'),
    '--process',
    'relief',
    '--width',
    '3cm',
  ];
  const command = spawnSync(
    process.execPath,
    [...args, '--screen', 'threshold', '--out', join(folder, 'cli')],
    { cwd: root },
  );
  expect(command.status).toBe(0);
  expect(readFileSync(join(folder, 'cli/sea.plate.png'))).toEqual(readFileSync(made.files[0]!));
}, 60_000);

test('writes nothing where nothing is to be written, and what it throws says whose fault it is', async () => {
  const picture = join(folder, 'sea.png');
  const dry = await prepare({ picture, job, out: null });
  expect(dry.files).toEqual([]);
  const wrong = await prepare({ picture, job: { process: 'etching', dpi: 3, width: 5 } }).catch(
    (error) => error,
  );
  expect(wrong).toBeInstanceOf(JobError);
  expect(wrong.problems).toHaveLength(3);
  // what only the plate and what is written together tell
  const tone = { picture, job: { ...job, screen: 'none', clearing: true, material: 'no such board' } };
  const { clearing: _, ...plain } = tone.job;
  const stored = await prepare({ ...tone, job: plain, format: ['pdf'], out: folder }).catch((error) => error);
  expect(stored.problems?.map(({ code }: { code: string }) => code)).toEqual(['format-without-tone']);
  const shallow = { ...tone.job, screen: 'threshold' };
  const unplanned = await prepare({ ...tone, job: shallow, out: folder }).catch((error) => error);
  expect(unplanned.problems?.map(({ code }: { code: string }) => code)).toEqual(['clearing-without-depth']);
  const missing = await prepare({ picture: join(folder, 'no.png'), job }).catch((error) => error);
  expect(missing).toBeInstanceOf(EtchError);
  expect(missing.kind).toBe('input');
  const stopped = prepare({ picture, job, out: folder, signal: AbortSignal.abort(new Error('enough')) });
  await expect(stopped).rejects.toThrow('enough');
  expect(readdirSync(folder)).toEqual(['sea.png']);
}, 60_000);

test('what is thrown where it is told how far the work is ends it: nothing goes on unheard, nothing is left', async () => {
  const all = {
    picture: join(folder, 'sea.png'),
    job,
    proof: true,
    holdmap: true,
    jobsheet: true,
    workers: 1,
  };
  const steps: string[] = [];
  await prepare({ ...all, out: join(folder, 'made'), onProgress: (step: string) => steps.push(step) });
  const unheard: unknown[] = [];
  const hear = (error: unknown): number => unheard.push(error);
  process.on('unhandledRejection', hear);
  const out = join(folder, 'stopped');
  mkdirSync(out);
  for (const [at, step] of steps.entries()) {
    let told = 0;
    const onProgress = (): void => {
      if (told++ === at) throw new Error(`stopped at ${step}`);
    };
    await expect(prepare({ ...all, out, onProgress })).rejects.toThrow(`stopped at ${step}`);
  }
  // what was begun and is not waited for has time to fail
  await setTimeout(200);
  process.off('unhandledRejection', hear);
  expect(steps).toContain('drawing');
  expect(unheard).toEqual([]);
  expect(readdirSync(out)).toEqual([]);
}, 60_000);

test('where there is no room for the ink of a proof, the hold map makes its own: the same bytes', async () => {
  const all = { picture: join(folder, 'sea.png'), job, proof: true, holdmap: true, workers: 1 };
  await prepare({ ...all, out: join(folder, 'kept') });
  const drawn = readFileSync(join(folder, 'kept', 'sea.proof.png'));
  // PNG 11.2.2: width and height; at 200 ppi 63 pixels of paper, 8 mm, on each side
  const inkBytes = (drawn.readUInt32BE(16) - 126) * (drawn.readUInt32BE(20) - 126);
  const Own = globalThis.SharedArrayBuffer;
  let refused = 0;
  globalThis.SharedArrayBuffer = class extends Own {
    constructor(bytes: number) {
      if (bytes === inkBytes) {
        refused++;
        throw new RangeError('Array buffer allocation failed');
      }
      super(bytes);
    }
  } as typeof SharedArrayBuffer;
  await prepare({ ...all, out: join(folder, 'made-again') }).finally(() => {
    globalThis.SharedArrayBuffer = Own;
  });
  expect(refused).toBe(1);
  for (const file of ['sea.proof.png', 'sea.hold.png'])
    expect(readFileSync(join(folder, 'made-again', file))).toEqual(readFileSync(join(folder, 'kept', file)));
}, 60_000);

test('its types are whole for who imports the package', () => {
  mkdirSync(join(folder, 'node_modules'));
  symlinkSync(root, join(folder, 'node_modules/etchwright'));
  symlinkSync(join(root, 'node_modules/@types'), join(folder, 'node_modules/@types'));
  writeFileSync(join(folder, 'package.json'), '{"type":"module"}');
  writeFileSync(
    join(folder, 'use.ts'),
    `import { prepare, type Report } from 'etchwright';
const made = await prepare({ picture: 'a.png', job: { process: 'relief', widthMm: 60 } });
const report: Report = made.report;
export const share: number = report.coverage.etched;
// @ts-expect-error there is no such field
export const none = report.nothing;
// @ts-expect-error a picture is wanted
await prepare({ job: {} });
`,
  );
  const options = ['--module', 'NodeNext', '--target', 'ES2023', '--strict', '--noEmit', 'use.ts'];
  const tsc = spawnSync(join(root, 'node_modules/.bin/tsc'), options, { cwd: folder, encoding: 'utf8' });
  expect([tsc.status, tsc.stdout]).toEqual([0, '']);
}, 60_000);
