import { expect, test } from 'vitest';
import { separations } from '../../src/core/separations/index.ts';
import { inkOf } from '../../src/job/inks.ts';
import { layPrint } from '../../src/job/plan.ts';
import { aidFacts, wasteOf } from '../../src/run/sets/aid.ts';
import type { Division } from '../../src/run/sets/division.ts';
import type { PlateJob, SeparateRequest } from '../../src/run/sets/request.ts';
import { wholeJob } from '../job/whole.ts';

const plate = (values: Record<string, unknown>): PlateJob =>
  wholeJob({
    process: 'relief',
    widthMm: '120',
    borderMm: '16',
    dpi: '254',
    screen: 'threshold',
    ...values,
  }) as unknown as PlateJob;

function setOf(
  register: SeparateRequest['settings']['register'],
  kind: keyof typeof separations | null,
  plates: readonly PlateJob[],
  colours: readonly string[],
  params: object = {},
) {
  const def = kind && separations[kind];
  const request = {
    method: def && { def, params: def.params.parse(params) },
    settings: { register },
    base: plates[0]!,
  } as unknown as SeparateRequest;
  const layout = layPrint(plates[0]!.job, { widthPx: 300, heightPx: 200, ppiX: null, ppiY: null });
  const inks = colours.map((colour, index) => inkOf(`i${index}`, colour));
  const division = { inks, plates: inks, layout } as unknown as Division;
  return {
    wastes: plates.map((one, index) => wasteOf(request, division, index, one)),
    facts: aidFacts(request, division, plates),
  };
}

const COLOURS = ['#f0e040', '#101010', '#4060c0'];

test('without an aid borders are nobody’s business, but of one block only the first is cut', () => {
  const three = [plate({}), plate({}), plate({})];
  expect(setOf('none', 'key', three, COLOURS)).toEqual({
    wastes: [undefined, undefined, undefined],
    facts: null,
  });
  expect(setOf('none', 'reduction', three, COLOURS).wastes).toEqual([
    undefined,
    { insets: [], isCut: true },
    { insets: [], isCut: true },
  ]);
});

test('the first scale is the key’s; without a key that of the darkest plate', () => {
  const three = [plate({}), plate({}), plate({})];
  expect(setOf('crosses', 'key', three, COLOURS).facts!.first).toBe('i2'); // the last to be printed
  expect(setOf('crosses', 'key', three, COLOURS, { keyInk: 'i0' }).facts!.first).toBe('i0');
  expect(setOf('crosses', null, three, COLOURS).facts!.first).toBe('i1');
  expect(setOf('crosses', 'key', three, COLOURS, { keyInk: 'none' }).facts!.first).toBe('i1');
  expect(setOf('pins', 'key', three, COLOURS).facts!.first).toBeNull();
});

test('one plate alone has no other to be read against', () => {
  expect(setOf('crosses', null, [plate({})], ['#101010']).facts!.first).toBeNull();
});

test('a plate that is stretched has its marks where the others have theirs, on the print', () => {
  const plates = [plate({}), plate({ stretchXPercent: '2', stretchYPercent: '1' })];
  const [dry, damp] = setOf('corner', null, plates, ['#101010', '#4060c0']).wastes;
  for (const [index, { xPx, yPx, etch }] of damp!.insets.entries()) {
    const other = dry!.insets[index]!;
    expect(Math.abs(xPx * 0.98 - other.xPx)).toBeLessThanOrEqual(1);
    expect(Math.abs(yPx * 0.99 - other.yPx)).toBeLessThanOrEqual(1);
    expect(Math.abs((yPx + etch.heightPx) * 0.99 - other.yPx - other.etch.heightPx)).toBeLessThanOrEqual(1);
  }
});

test('lines are as wide as the sheet and the spot want, but no wider than can be read', () => {
  // a wall of 0.4 mm on wood (from memory), and what a spot of 0.2 mm takes of it beyond a pixel of 0.1
  const wood = plate({ material: 'plywood', spotMm: '0.2' });
  const [line] = setOf('corner', null, [wood], ['#101010']).facts!.lines;
  expect(line!.sureMm).toBeCloseTo(wood.making.sheet.limits.minWallMm!.mm + 0.1, 9);
  expect(line!.lineMm).toBeCloseTo(line!.sureMm + 0.1, 9);
  expect(setOf('crosses', null, [wood], ['#101010']).facts!.lines[0]!.lineMm).toBe(0.45);
});
