import { describe, expect, test } from 'vitest';
import { resolveJob, withScreen } from '../../src/job/layers.ts';
import { type KnownWorkshop, resolveMaking } from '../../src/job/making.ts';
import {
  ageWords,
  type Curves,
  curvedJob,
  type MeasuredCurve,
  NO_CURVES,
} from '../../src/job/measured-curve.ts';
import type { Job } from '../../src/job/schema.ts';
import { settleScreen } from '../../src/job/screen-place.ts';
import { workshopSchema } from '../../src/job/workshop.ts';
import { curveCautions } from '../../src/report/cautions/curve.ts';

const SPOT_MM = 0.13;

const CURVE: MeasuredCurve = {
  name: 'cotton',
  sha256: 'a'.repeat(64),
  measuredOn: '2031-01-01',
  process: 'intaglio',
  dpi: 300,
  screen: { kind: 'grain', params: { grainMm: 0.5, irregularity: 0.5, seed: 1 } },
  spotMm: null,
  machine: null,
  material: null,
  batch: null,
  knots: [
    [0, 0],
    [0.5, 0.6],
    [1, 1],
  ],
};

const WORKSHOP: KnownWorkshop = {
  workshop: workshopSchema.parse({
    version: 1,
    name: 'Ennerby Quay',
    machines: [{ id: 'old', spotMm: SPOT_MM }],
    materials: [{ id: 'acr3', kind: 'acrylic', batch: 'B' }],
  }),
  sha256: 'b'.repeat(64),
};

/** The curve that a plate of the curve's own screen goes through, and what is told of it. */
function plated(
  curves: Curves,
  wanted: Readonly<Record<string, unknown>> = {},
  workshop: KnownWorkshop | null = null,
): { job: Job; measured: MeasuredCurve | null; codes: string[]; told: string } {
  const { grainMm, irregularity } = CURVE.screen.params;
  const values = {
    process: 'intaglio',
    widthMm: 50,
    dpi: 300,
    screen: 'grain',
    grainMm,
    irregularity,
    ...wanted,
  };
  const { job, problems } = resolveJob([{ origin: 'flag', name: '', values }]);
  if (job === null) throw new Error(problems.map(({ message }) => message).join('\n'));
  const { making } = resolveMaking(job, workshop);
  const settled = (allowance: Partial<Pick<Job, 'compensate'>>): Job =>
    settleScreen(withScreen({ ...job, ...allowance }, 'grain'), making);
  const { job: whole, measured } = curvedJob(settled, curves);
  const cautions = curveCautions(whole, making, measured, curves);
  return {
    job: whole,
    measured,
    codes: cautions.map(({ code }) => code),
    told: cautions.map(({ text, cure }) => `${text}. ${cure}`).join(' '),
  };
}

const given = (curve: Partial<MeasuredCurve>): Curves => ({ given: { ...CURVE, ...curve }, kept: [] });

test('a plate like the one measured is told nothing', () => {
  expect(plated(given({})).codes).toEqual([]);
  const same = { machine: 'old', material: 'acr3', batch: 'B' };
  expect(plated(given(same), { material: 'acr3' }, WORKSHOP).codes).toEqual([]);
});

test('of the curves that the workshop has, the newest is used, and of one day the last', () => {
  const kept = ['2031-05-02', '2031-05-03', '2031-05-03', '2031-05-01'].map((measuredOn, i) => ({
    ...CURVE,
    name: `c${i}`,
    measuredOn,
  }));
  expect(plated({ given: null, kept }).measured?.name).toBe('c2');
});

describe('a curve of another', () => {
  test.each([
    ['machine', { machine: 'new' }, 'on machine "new", and this plate is for "old"'],
    ['sheet', { material: 'pmma' }, 'on sheet "pmma", and this plate is for "acr3"'],
    ['batch', { batch: 'A' }, 'on batch "A", and this plate is for "B"'],
  ])('%s is told with both names', (what, curve, words) => {
    const { codes, told, measured } = plated(given(curve), { material: 'acr3' }, WORKSHOP);
    expect(codes).toEqual([`curve-of-another-${what}`]);
    expect(told).toContain(words);
    expect(measured).not.toBeNull();
  });

  test.each([
    ['machine', { machine: 'new' }],
    ['batch', { batch: 'A' }],
  ])('%s says nothing where the plate’s own is not known', (_, curve) => {
    expect(plated(given(curve)).codes).toEqual([]);
  });
});

describe('the spot that a test plate allowed for', () => {
  test('the same on the plate: allowed for again, and nothing is told', () => {
    const { job, codes } = plated(given({ spotMm: SPOT_MM }), {}, WORKSHOP);
    expect(job.compensate).toBe(true);
    expect(codes).toEqual([]);
  });

  test('another, or none, is told with both', () => {
    const { told, codes } = plated(given({ spotMm: 0.2 }), {}, WORKSHOP);
    expect(codes).toEqual(['curve-of-another-spot']);
    expect(told).toContain('an allowance for a spot of 0.2 mm, and this plate allows for 0.13 mm');
    expect(told).toContain('--spot 0.2mm');
    expect(plated(given({ spotMm: 0.2 })).told).toContain('this plate allows for none');
    const bare = plated(given({ spotMm: SPOT_MM }), { compensate: false }, WORKSHOP);
    expect([bare.job.compensate, bare.codes]).toEqual([false, ['curve-of-another-spot']]);
  });

  test('none: a spot that is known is not allowed for either, since the curve has it in its tones', () => {
    const { job, codes } = plated(given({ spotMm: null }), {}, WORKSHOP);
    expect([job.compensate, codes]).toEqual([false, []]);
    // without a curve it would be
    expect(plated(NO_CURVES, {}, WORKSHOP).job.compensate).toBe(true);
  });
});

test('of kept curves the newest that was measured alike is taken; of others it is told that there are', () => {
  const kept = [
    { ...CURVE, name: 'older' },
    { ...CURVE, name: 'newer', measuredOn: '2031-02-01' },
    { ...CURVE, name: 'finer', measuredOn: '2031-03-01', dpi: 600 },
  ];
  expect(plated({ given: null, kept }).measured?.name).toBe('newer');
  const other = plated({ given: null, kept: kept.slice(2) });
  expect([other.measured, other.codes]).toEqual([null, ['no-curve-for-screen']]);
});

test('a curve is old after 90 days, not on the ninetieth', () => {
  expect(ageWords(CURVE, '2031-04-01')).toBeNull();
  expect(ageWords(CURVE, '2031-04-02')).toContain('91 days ago');
  // a clock that is behind makes none old
  expect(ageWords(CURVE, '2030-12-31')).toBeNull();
});
