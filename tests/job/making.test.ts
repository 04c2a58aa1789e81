import { describe, expect, test } from 'vitest';
import { depthOf, holdLimits } from '../../src/job/hold-limits.ts';
import { type KnownWorkshop, resolveMaking } from '../../src/job/making.ts';
import { UNMEASURED_MACHINE, workshopSchema } from '../../src/job/workshop.ts';
import { startingWorkshop } from '../../src/job/workshop-start.ts';

const known = (value: Record<string, unknown>): KnownWorkshop => ({
  workshop: workshopSchema.parse({ version: 1, name: 'Ennerby Quay', ...value }),
  sha256: 'a'.repeat(64),
});
const wanted = { process: 'relief' as const };

describe('what is known of the making', () => {
  test('without a workshop file everything is taken for granted, and the spot does not count as known', () => {
    const { making, problems } = resolveMaking(wanted, null);
    expect(problems).toEqual([]);
    expect(making.machine).toMatchObject({ ...UNMEASURED_MACHINE, id: null });
    expect(making.spotKnown).toBe(false);
    expect(making.workshop).toEqual({ name: 'unmeasured', sha256: null });
    expect([making.sheet.kind, making.sheet.assumed]).toEqual(['wood', true]);
  });

  test('a spot from a flag, a job or a workshop file counts as known', () => {
    expect(resolveMaking({ ...wanted, spotMm: 0.12 }, null).making).toMatchObject({
      spotKnown: true,
      machine: { spotMm: 0.12 },
    });
    const file = known({ machines: [{ id: 'big', spotMm: 0.15 }] });
    expect(resolveMaking(wanted, file).making).toMatchObject({ spotKnown: true, machine: { spotMm: 0.15 } });
    expect(resolveMaking({ ...wanted, spotMm: 0.12 }, file).making.machine.spotMm).toBe(0.12);
  });

  test('a starting file is whole, and makes no guess look measured', () => {
    const file = { workshop: workshopSchema.parse(startingWorkshop('x.json')), sha256: 'b'.repeat(64) };
    expect(resolveMaking(wanted, file).making.spotKnown).toBe(false);
  });

  test('the first machine and press are used unless others are named; a name that is not there is told', () => {
    const file = known({
      machines: [{ id: 'small' }, { id: 'big', speedMmS: 800 }],
      presses: [
        { id: 'proofing', kind: 'roller', rollerRadiusMm: 40 },
        { id: 'hand', kind: 'baren' },
      ],
    });
    expect(resolveMaking(wanted, file).making).toMatchObject({
      machine: { id: 'small' },
      press: { id: 'proofing' },
    });
    const named = resolveMaking({ ...wanted, machine: 'big', press: 'hand' }, file).making;
    expect(named).toMatchObject({
      machine: { id: 'big', speedMmS: 800, returnSpeedMmS: 800 },
      press: { kind: 'baren' },
    });
    const { problems } = resolveMaking({ ...wanted, machine: 'bug', press: 'x' }, file);
    expect(problems.map(({ hint }) => hint)).toEqual(['Did you mean "big"?', 'It has proofing, hand.']);
  });

  test('a workshop’s own limits count as measured, its sheet’s kind fills the rest', () => {
    const file = known({ materials: [{ id: 'pear', kind: 'wood', minWallMm: 0.22, processes: ['relief'] }] });
    const { sheet } = resolveMaking({ ...wanted, material: 'pear' }, file).making;
    expect(sheet.limits.minWallMm).toEqual({ mm: 0.22, basis: 'measured' });
    expect(sheet.limits.minGapMm?.basis).not.toBe('measured');
    expect(resolveMaking({ process: 'intaglio', material: 'pear' }, file).problems[0]?.code).toBe(
      'sheet-for-other-process',
    );
  });

  test('what a workshop calls a sheet may give it away, whatever kind it says', () => {
    const file = known({ materials: [{ id: 'vinyl offcut', kind: 'acrylic' }] });
    expect(
      resolveMaking({ process: 'intaglio', material: 'vinyl offcut' }, file).making.sheet.judgement?.verdict,
    ).toBe('never');
  });

  test('of the kind and the name of a workshop’s sheet the stricter counts, and glue is never cut', () => {
    const judged = (id: string, kind: string) =>
      resolveMaking({ ...wanted, material: id }, known({ materials: [{ id, kind }] })).making.sheet.judgement;
    expect(judged('mounted lino', 'lino')).toMatchObject({ verdict: 'ask', engraveOnly: true });
    expect(judged('birch ply 3', 'wood')).toMatchObject({ verdict: 'ask', engraveOnly: false });
    expect(judged('our wood', 'plywood')?.verdict).toBe('ask');
    expect(judged('shelf 2', 'wood')?.verdict).toBe('declare');
  });
});

describe('depth and passes', () => {
  const { making } = resolveMaking({ ...wanted, material: 'wood' }, null);

  test('passes as given, else from the depth asked for, else unknown', () => {
    const perPass = making.sheet.depthPerPassMm!.mm;
    expect(depthOf({ passes: 3 }, making)).toEqual({
      passes: 3,
      depthMm: 3 * perPass,
      stated: true,
      depthPerPassMm: perPass,
      basis: 'from-memory',
    });
    expect(depthOf({ passes: 3, depthMm: 2 }, making)).toMatchObject({
      depthPerPassMm: 2 / 3,
      basis: 'given',
    });
    expect(depthOf({ depthMm: perPass * 2.5 }, making).passes).toBe(3);
    expect(depthOf({}, making)).toMatchObject({ passes: null, stated: false });
  });

  test('the widest gap served is where the carver’s table reaches the depth: 2 mm deep, 30 mm wide under a baren', () => {
    // D. Bull, woodblock.com encyclopedia 018_03: 10 mm → 0.7, 20 → 1.3, 30 → 2.0, 50 → 3.6, 100 → 4.5
    const baren = { ...making, press: { id: null, kind: 'baren' as const, rollerRadiusMm: 25 } };
    for (const [gapMm, depthMm] of [
      [10, 0.7],
      [20, 1.3],
      [30, 2],
      [50, 3.6],
      [100, 4.5],
    ] as const)
      expect(holdLimits(baren, depthOf({ depthMm }, making))['widestGapMm']!.mm).toBeCloseTo(gapMm, 1);
  });

  test('a roller of 25 mm radius dips 2.1 mm into a gap of 20 mm: R − √(R² − g²/4)', () => {
    const limits = holdLimits(making, depthOf({ depthMm: 25 - Math.sqrt(25 * 25 - 100) }, making));
    expect(limits['widestGapMm']!.mm).toBeCloseTo(20, 1);
  });
});
