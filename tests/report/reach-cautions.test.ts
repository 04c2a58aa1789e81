import { describe, expect, test } from 'vitest';
import type { ScreenDef } from '../../src/core/screens/contract.ts';
import { screens } from '../../src/core/screens/index.ts';
import { planPlate } from '../../src/job/plan.ts';
import { screenPlace } from '../../src/job/screen-place.ts';
import { reachCautions } from '../../src/report/cautions/reach.ts';
import { wholeJob } from '../job/whole.ts';

function cautioned(values: Record<string, unknown>, isMeasured = false) {
  const { job, making } = wholeJob({ process: 'intaglio', screen: 'cell', ...values });
  const def = screens[job.screen] as unknown as ScreenDef;
  const place = screenPlace(job, making);
  const achieved = def.achieved?.(job.screenParams, place, def.build?.(job.screenParams, place)) ?? {};
  return reachCautions(job, making, achieved, isMeasured);
}

describe('a spot too narrow to close a solid', () => {
  const NARROW = { dpi: 500, spotMm: 0.05 };

  test('80 % of ink etches 76: told with the dpi and the cap that help', () => {
    const [told, ...more] = cautioned(NARROW);
    expect(more).toEqual([]);
    expect(told).toMatchObject({ code: 'solid-out-of-reach', severity: 'warn', value: 76.1, limit: 80 });
    expect(told!.text).toContain('leaves gaps between its marks at 500 dpi: a solid etches 76.1 %');
    const [, dpi, cap] = /--dpi (\d+) or more.*--cap (\d+)%/.exec(told!.cure)!;
    // discs less the lenses they share (circle geometry): 0.7991 at 513 dpi, 0.8017 at 514
    expect(Number(dpi)).toBe(514);
    expect(cautioned({ ...NARROW, dpi: Number(dpi) })).toEqual([]);
    expect(cautioned({ ...NARROW, capPercent: Number(cap) })).toEqual([]);
    expect(cautioned({ ...NARROW, capPercent: Number(cap) + 1 })).toHaveLength(1);
  });

  test('a block keeps ridges on its ground, and more dpi clears them', () => {
    const block = { ...NARROW, process: 'relief', screen: 'dot' };
    const told = cautioned(block).find(({ code }) => code === 'solid-out-of-reach');
    expect(told).toMatchObject({ severity: 'warn', value: 76.1, limit: 100 });
    expect(told!.text).toContain('tones lighter than 23.9 %');
    const dpi = Number(/--dpi (\d+)/.exec(told!.cure)![1]);
    // the diagonal of a pixel as wide as the spot is at 718.4 dpi
    expect(dpi).toBeGreaterThan(700);
    expect(dpi).toBeLessThan(719);
    const codes = cautioned({ ...block, dpi }).map(({ code }) => code);
    expect(codes).not.toContain('solid-out-of-reach');
  });

  test('little missing is a note', () => {
    expect(cautioned({ ...NARROW, capPercent: 77.5 })[0]).toMatchObject({ severity: 'note' });
  });

  test.each([
    ['a spot that nobody gave', { dpi: 200 }],
    ['no allowance wanted', { ...NARROW, compensate: false }],
    ['line art', { ...NARROW, screen: 'threshold' }],
    ['a spot wide enough', { dpi: 500, spotMm: 0.1 }],
  ])('%s: not a word', (_, values) => {
    expect(cautioned(values)).toEqual([]);
  });

  test('a measured curve knows what it reaches', () => {
    expect(cautioned(NARROW, true)).toEqual([]);
  });
});

describe('few tones', () => {
  test('dots that leave no tone between two are told, and the cure is one', () => {
    const dots = { screen: 'dot', dpi: 1000, angleDeg: 15, rulingLpi: 54 };
    const told = cautioned(dots);
    expect(told).toMatchObject([{ code: 'few-tones', severity: 'note', limit: 1.6, unit: '%' }]);
    expect(told[0]!.value).toBeGreaterThan(10);
    expect(told[0]!.text).toContain(`two tones that are ${told[0]!.value!.toFixed(1)} points apart`);
    expect(told[0]!.cure).toContain('a coarser --ruling or a higher --dpi');
    expect(cautioned({ ...dots, rulingLpi: 40 })).toEqual([]);
  });

  test.each([300, 500, 600, 1000])(
    'dots at the defaults of intaglio and %d dpi have no lack of them',
    (dpi) => {
      expect(cautioned({ screen: 'dot', dpi })).toEqual([]);
    },
  );

  test.each(['line', 'grain', 'cell'])('%s has no lack of them', (screen) => {
    expect(cautioned({ screen, dpi: 500 })).toEqual([]);
  });
});

describe('a screen coarser than the plate', () => {
  const plan = (values: Record<string, unknown>) => {
    const { job, making } = wholeJob({ process: 'intaglio', ...values });
    return planPlate(job, making, { widthPx: 30, heightPx: 60, ppiX: null, ppiY: null });
  };

  test.each([
    ['cell', 'cellMm', 4, /a cell of the screen cell is 4\.0\d mm/, '--cell'],
    ['grain', 'grainMm', 4, /a grain of the screen grain is 4 mm/, '--grain'],
    ['dot', 'rulingLpi', 12, /a period of its dots of the screen dot is 2.12 mm/, '--ruling'],
    ['line', 'rulingLpi', 12, /a period of its lines of the screen line is 2.12 mm/, '--ruling'],
  ] as const)('%s is refused, and what to change is told', (screen, key, value, words, flag) => {
    const on = (widthMm: number, borderMm = 0) => plan({ screen, [key]: value, widthMm, borderMm });
    const mm = key === 'rulingLpi' ? 25.4 / value : value;
    expect(() => on(mm - 0.1)).toThrow(
      expect.objectContaining({
        problems: [
          expect.objectContaining({
            code: 'screen-over-plate',
            message: expect.stringMatching(words),
            hint: expect.stringContaining(flag),
          }),
        ],
      }),
    );
    expect(() => on(mm + 0.2)).not.toThrow();
    // the border is no room
    expect(() => on(mm + 0.2, 0.5)).toThrow();
  });

  test('single pixels fit everywhere', () => {
    for (const screen of ['errordiffusion', 'threshold', 'bluenoise'])
      expect(() => plan({ screen, widthMm: 1 })).not.toThrow();
  });
});
