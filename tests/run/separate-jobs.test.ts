import { describe, expect, test } from 'vitest';
import { inkOf } from '../../src/job/inks.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { resolveMaking } from '../../src/job/making.ts';
import { NO_CURVES } from '../../src/job/measured-curve.ts';
import { layPlate } from '../../src/job/plan.ts';
import type { Task } from '../../src/run/bench.ts';
import { NOTHING_BUILT } from '../../src/run/plate/build-screen.ts';
import { beginScreens, openDecision } from '../../src/run/plate/decide.ts';
import type { Pool } from '../../src/run/pool.ts';
import type { Division } from '../../src/run/sets/division.ts';
import { plateJobOf } from '../../src/run/sets/jobs.ts';
import type { PlateJob, SeparateRequest } from '../../src/run/sets/request.ts';

function plate(values: Record<string, unknown>): PlateJob {
  const { job, origins, problems } = resolveJob([{ origin: 'flag', name: '', values }]);
  expect(problems).toEqual([]);
  return { job: job!, origins: origins!, making: resolveMaking(job!, null).making, curves: NO_CURVES };
}

const COLOURS = ['#f0e040', '#d05060', '#4060c0', '#101010']; // yellow, red, blue, black as they are printed

function jobs(
  values: Record<string, unknown>,
  draws: Division['draws'],
  own: SeparateRequest['own'] = new Map(),
  colours = COLOURS,
) {
  const base = plate({ widthMm: '100', dpi: '300', ...values });
  const inks = colours.map((colour, index) => inkOf(`i${index}`, colour));
  const layout = layPlate(base.job, { widthPx: 300, heightPx: 200, ppiX: null, ppiY: null });
  const division = {
    inks,
    plates: inks,
    draws,
    onRaster: draws === 'areas',
    layout,
    cut: null,
  } as unknown as Division;
  return inks.map((_, index) => plateJobOf({ base, own } as SeparateRequest, division, index).job);
}

describe('what a set decides of its plates', () => {
  test('ruled screens: black at 45 degrees, strong inks 30 apart, the lightest 15 off (common practice)', () => {
    const angles = jobs({ process: 'relief', screen: 'dot' }, 'tones').map(
      ({ screenParams }) => screenParams['angleDeg'],
    );
    expect(angles).toEqual([0, 15, 75, 45]);
  });

  test('two colours: dark at 45, light at 75 degrees (the letterpress rule for two-colour work)', () => {
    const two = jobs({ process: 'relief', screen: 'dot' }, 'tones', new Map(), ['#e0b030', '#20262e']);
    expect(two.map(({ screenParams }) => screenParams['angleDeg'])).toEqual([75, 45]);
  });

  test('an angle that is given stays', () => {
    const all = jobs({ process: 'relief', screen: 'dot', angleDeg: '20' }, 'tones');
    expect(all.map(({ screenParams }) => screenParams['angleDeg'])).toEqual([20, 20, 20, 20]);
  });

  test('screens that draw lots: a seed each, counted on from the one given', () => {
    const seeds = jobs({ process: 'intaglio', screen: 'grain', seed: '7' }, 'tones').map(
      ({ screenParams }) => screenParams['seed'],
    );
    expect(seeds).toEqual([7, 8, 9, 10]);
  });

  test('areas of a block keep their edges; areas of a plate that is wiped get marks that hold ink', () => {
    expect(new Set(jobs({ process: 'relief' }, 'areas').map(({ screen }) => screen))).toEqual(
      new Set(['threshold']),
    );
    expect(new Set(jobs({ process: 'intaglio' }, 'areas').map(({ screen }) => screen))).toEqual(
      new Set(['cell']),
    );
  });

  test('a plate of its own keeps its settings, on the canvas of all', () => {
    const own = new Map([
      [
        'i3',
        plate({ process: 'relief', widthMm: '20', dpi: '600', screen: 'threshold', levelPercent: '30' }),
      ],
    ]);
    const last = jobs({ process: 'intaglio' }, 'pictures', own)[3]!;
    expect([last.process, last.screen, last.screenParams['levelPercent']]).toEqual([
      'relief',
      'threshold',
      30,
    ]);
    expect([last.widthMm, last.dpi]).toEqual([100, 300]);
  });
});

test('screens of plates to come are begun once each, as many as are kept; each plate then finds its own', async () => {
  const asked: string[] = [];
  const pool = {
    threads: 2,
    add: () => undefined,
    drop: () => undefined,
    close: async () => undefined,
    run: async (task: Task) => {
      asked.push(task.do);
      return NOTHING_BUILT;
    },
  } as unknown as Pool;
  const store = new Map();
  const colours = [...COLOURS, '#802020', '#208020', '#202080'];
  const plates = jobs({ process: 'relief' }, 'tones', new Map(), colours).map((job) => ({
    job,
    making: resolveMaking(job, null).making,
    curves: NO_CURVES,
  }));
  beginScreens(plates, pool, store);
  expect(asked).toEqual(Array(6).fill('buildScreen'));
  for (const { job, making, curves } of plates.slice(0, 6)) openDecision(job, making, curves, pool, store);
  expect(asked.length).toBe(6);
  // one that hangs on its picture cannot be begun
  beginScreens([{ ...plates[6]!, job: { ...plates[6]!.job, screen: null } }], pool, store);
  expect(asked.length).toBe(6);
});
