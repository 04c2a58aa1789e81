/**
 * DEVELOPERS.md: its numbers run on, its paths are there, and its worked examples, which stand in `added`, are what it says
 * and do what it says. UPDATE_README=1 writes the examples into it.
 */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test, vi } from 'vitest';
import { countBits } from '../../src/core/bitmap.ts';
import { materials } from '../../src/core/materials/index.ts';
import { judgeMaterial } from '../../src/core/materials/judge.ts';
import { measurePaths } from '../../src/core/outlines/measure.ts';
import { outlinePaths } from '../../src/core/outlines/paths.ts';
import { processes } from '../../src/core/processes/index.ts';
import type { RegisterPlace } from '../../src/core/register/contract.ts';
import { registerInsets } from '../../src/core/register/insets.ts';
import { formats } from '../../src/io/formats/index.ts';
import { bitsOf, resolveJob } from '../../src/job/layers.ts';
import { jobSettings } from '../../src/job/settings.ts';
import { flat, screened } from '../core/screens/drive.ts';
import { anyPlate, read, write } from '../io/formats/plates.ts';
import { faults } from '../mutation/faults.mjs';
import { halves } from './added/halves.ts';
import { pbm } from './added/pbm.ts';
import { rungs } from './added/rungs.ts';

/** The line in a registry that each example wants; everything that loops over registries then knows it. */
vi.mock('../../src/core/screens/index.ts', async (actual) => {
  const there = await actual<typeof import('../../src/core/screens/index.ts')>();
  return { ...there, screens: { ...there.screens, rungs: (await import('./added/rungs.ts')).rungs } };
});
vi.mock('../../src/core/processes/index.ts', async (actual) => {
  const there = await actual<typeof import('../../src/core/processes/index.ts')>();
  return { processes: { ...there.processes, handprint: (await import('./added/handprint.ts')).handprint } };
});
vi.mock('../../src/core/outlines/index.ts', async (actual) => {
  const there = await actual<typeof import('../../src/core/outlines/index.ts')>();
  return { outlines: { ...there.outlines, lozenge: (await import('./added/lozenge.ts')).lozenge } };
});
vi.mock('../../src/core/register/index.ts', async (actual) => {
  const there = await actual<typeof import('../../src/core/register/index.ts')>();
  return { aids: { ...there.aids, ticks: (await import('./added/ticks.ts')).ticks } };
});
vi.mock('../../src/core/materials/ask.ts', async (actual) => {
  const there = await actual<typeof import('../../src/core/materials/ask.ts')>();
  return { askMaterials: { ...there.askMaterials, slate: (await import('./added/slate.ts')).slate } };
});

const root = join(import.meta.dirname, '../..');
const page = join(root, 'DEVELOPERS.md');
const text = readFileSync(page, 'utf8');

const EXAMPLES = {
  'a screen': 'rungs',
  'a separation': 'halves',
  'a process': 'handprint',
  'a format': 'pbm',
  'an outline': 'lozenge',
  'a register aid': 'ticks',
  'a material': 'slate',
};

/** An example without its imports. */
const exampleOf = (name: string): string =>
  readFileSync(join(import.meta.dirname, 'added', `${name}.ts`), 'utf8')
    .replace(/^(import [^;]+;\n)+\n/, '')
    .trim();

const section = (heading: string): string => {
  const after = text.split(`\n${heading}\n`)[1];
  if (after === undefined) throw new Error(`DEVELOPERS.md has no "${heading}"`);
  return after.split(/\n##+ /)[0]!;
};

test.each(Object.entries(EXAMPLES))('how to add %s is shown by the example that is tested', (kind, name) => {
  const heading = `### … ${kind}`;
  const [, shown] = /```ts\n([\s\S]*?)\n```/.exec(section(heading)) ?? [];
  expect(shown, heading).toBeDefined();
  if (process.env['UPDATE_README'])
    writeFileSync(
      page,
      readFileSync(page, 'utf8').replace(shown!, () => exampleOf(name)),
    );
  else expect(shown).toBe(exampleOf(name));
});

test('every kind of thing that can be added has its example', () => {
  const headings = [...text.matchAll(/^### … (.+)$/gm)].map(([, kind]) => kind);
  expect(headings).toEqual(Object.keys(EXAMPLES));
});

test.each(['## Known issues', '## Decisions'])(
  '%s are numbered from 1 on, and each number once',
  (heading) => {
    const numbers = [...section(heading).matchAll(/^(\d+)\. /gm)].map(([, number]) => Number(number));
    expect(numbers.length).toBeGreaterThan(20);
    expect(numbers).toEqual(numbers.map((_, i) => i + 1));
  },
);

test('files and folders that it names are there', () => {
  const named = [...text.matchAll(/`([\w-]+(?:\/[\w.-]+)+)`/g)].map(([, path]) => path!);
  const rooms = ['', 'src', 'src/core', 'tests'];
  const isThere = (path: string): boolean =>
    rooms.some((room) => ['', '.ts'].some((end) => existsSync(join(root, room, path + end))));
  expect(named.length).toBeGreaterThan(80);
  // made by the build, or of another package
  expect(named.filter((path) => !path.startsWith('dist/') && !isThere(path))).toEqual([]);
});

test('every room of src/run has its place in the architecture', () => {
  const rooms = readdirSync(join(root, 'src/run'), { withFileTypes: true }).filter((one) =>
    one.isDirectory(),
  );
  expect(rooms.length).toBeGreaterThan(5);
  for (const { name } of rooms) expect(section('### Rooms')).toContain(`\`run/${name}\``);
});

test('every fault that the mutation check plants finds its place', () => {
  for (const { name, file, from, tests } of faults) {
    const pieces = readFileSync(join(root, 'src', file), 'utf8').split(from);
    expect([name, pieces.length - 1]).toEqual([name, 1]);
    const found = ['.test.ts', ''].some((end) => existsSync(join(root, 'tests', tests + end)));
    expect([name, tests, found]).toEqual([name, tests, true]);
  }
});

describe('the example of', () => {
  test('a screen: flags and names of job files are there at once', () => {
    const screen = jobSettings.find(({ key }) => key === 'screen')!;
    expect(screen.choices).toContain('rungs');
    const values = { process: 'relief', widthMm: '50mm', screen: 'rungs', rulingLpi: 20 };
    const { job, problems } = resolveJob([{ origin: 'flag', name: '', values }]);
    expect(problems).toEqual([]);
    expect(job).toMatchObject({ screen: 'rungs', screenParams: { rulingLpi: 20 } });
  });

  test('a screen: paper, solids, a middle tone, and the same bits in any order of bands', () => {
    expect(countBits(screened(rungs, flat(0, 101, 20)).data)).toBe(0);
    expect(countBits(screened(rungs, flat(65535, 101, 20)).data)).toBe(101 * 20);
    const tone = flat(26214, 128);
    const bottomUp = screened(rungs, tone, {}, { bandRows: 16, bottomUp: true });
    expect(bottomUp.data).toEqual(screened(rungs, tone).data);
    expect(Math.abs(countBits(bottomUp.data) / 128 ** 2 - 0.4)).toBeLessThan(0.01);
  });

  test('a separation: a plate of the whole canvas for every ink, the light half under the dark', () => {
    const way = halves.way({});
    if (way.draws !== 'areas') throw new Error('halves draws areas');
    const inks = ['light', 'dark'].map((name) => ({
      name,
      colour: '#808080',
      light: [0.2, 0.2, 0.2] as const,
      opaque: true,
    }));
    const labels = { widthPx: 3, heightPx: 1, data: Uint8Array.of(0, 1, 2) };
    const { plates } = way.shape({ labels, asked: null }, { pxPerMm: 5, inks, smallestPx: 2, kerfMm: 0 });
    expect(plates.map(({ data }) => data[0])).toEqual([0b0110_0000, 0b0010_0000]);
  });

  test('a process: its own defaults under the general ones', () => {
    expect(Object.keys(processes)).toContain('handprint');
    const { job, problems } = resolveJob([
      { origin: 'flag', name: '', values: { process: 'handprint', widthMm: '100mm', screen: 'threshold' } },
    ]);
    expect(problems).toEqual([]);
    expect(bitsOf(job!)).toMatchObject({ process: 'handprint', borderMm: 10, capPercent: 100 });
  });

  test('a format: reads back as written, for any plate', async () => {
    expect(Object.keys(formats)).not.toContain('pbm');
    await fc.assert(
      fc.asyncProperty(anyPlate, async (plate) => {
        const { located, etch } = read(pbm, await write(pbm, plate), plate.head.fire);
        expect(etch).toEqual(plate.etch);
        expect(located.dpiX).toBe(plate.head.dpi);
      }),
      { seed: 1, numRuns: 50 },
    );
  });

  test('an outline: half its box, grown by half the kerf on every side', () => {
    const box = { xMm: 0, yMm: 0, widthMm: 120, heightMm: 80 };
    const wish = { kerfMm: 0.2, toleranceMm: 0.1, traced: null };
    const { paths } = outlinePaths('lozenge' as 'ellipse', { outlineInsetMm: 0 }, box, wish);
    const side = Math.hypot(60, 40);
    // a lozenge grown by d: its area, a strip d along four sides, and four mitred corners that make one lozenge around a circle of d
    const corners = 4 * 0.1 ** 2 * (0.5 * (60 / 40 + 40 / 60));
    expect(measurePaths(paths).areaMm2).toBeCloseTo((120 * 80) / 2 + 0.1 * 4 * side + corners, 1);
  });

  test('a register aid: marks in the waste, and the border that it wants told', () => {
    const place: RegisterPlace = {
      widthMm: 60,
      heightMm: 40,
      borderMm: 7,
      dpi: 254,
      process: processes.relief,
      lineMm: 0.3,
      stretch: { x: 0, y: 0 },
    };
    const insets = registerInsets('ticks' as 'corner', place, 'first');
    expect(insets.length).toBe(2);
    for (const { yPx, etch } of insets) expect(yPx + etch.heightPx <= 70 || yPx >= 330).toBe(true);
    expect(() => registerInsets('ticks' as 'corner', { ...place, borderMm: 6 }, 'first')).toThrow(/6\.5 mm/);
  });

  test('a material: known by its names, and asked about', () => {
    expect(Object.keys(materials)).toContain('slate');
    expect(judgeMaterial('Roof-slates', null)).toMatchObject({
      verdict: 'ask',
      material: { kind: 'slate' },
      engraveOnly: true,
    });
  });
});
