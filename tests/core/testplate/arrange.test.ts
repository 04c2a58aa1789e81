import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { processes } from '../../../src/core/processes/index.ts';
import { arrangeTestPlate, type TestPlateWish } from '../../../src/core/testplate/arrange.ts';
import { EDGE_MM } from '../../../src/core/testplate/strip-size.ts';
import { type BoxMm, parseTestPlate, type TestPlateLayout } from '../../../src/core/testplate/layout.ts';
import { labelBox } from '../../../src/core/testplate/parts.ts';

const wish = (over: Partial<TestPlateWish> = {}): TestPlateWish => ({
  process: 'relief',
  widthMm: 150,
  heightMm: 100,
  dpi: 1000,
  spotMm: null,
  beam: null,
  screen: { kind: 'bayer', params: {} },
  capShare: 1,
  passes: [],
  ...over,
});

interface Named extends BoxMm {
  readonly name: string;
}

/** Every box on the plate that must not meet another; features in a ground of ink may lie on it and nothing else. */
function boxesOf(layout: TestPlateLayout): { readonly standing: Named[]; readonly grounds: Named[] } {
  const round = (
    name: string,
    { xMm, yMm, diameterMm: d }: { xMm: number; yMm: number; diameterMm: number },
  ) => ({
    name,
    xMm: xMm - d / 2,
    yMm: yMm - d / 2,
    widthMm: d,
    heightMm: d,
  });
  return {
    standing: [
      ...layout.patches.map((box) => ({ ...box, name: box.id })),
      ...layout.features.map((box) => ({ ...box, name: box.id })),
      ...layout.type.map((box) => ({ ...box, name: box.text })),
      ...layout.ladder.map((box) => ({ ...box, name: `${box.passes} passes` })),
      ...layout.paperZones.map((box) => ({ ...box, name: 'paper' })),
      ...layout.fiducials.map((disc) => round(disc.kind, disc)),
      ...layout.stars.map((star) => round('star', star)),
      ...layout.labels.map((label) => ({
        ...labelBox({ ...label, text: label.text.replace('{id}', layout.id) }),
        name: label.text,
      })),
      ...layout.rulers.map(({ axis, fromMm, lengthMm }) =>
        axis === 'x'
          ? { name: 'ruler', xMm: fromMm.x, yMm: fromMm.y - 2.6, widthMm: lengthMm, heightMm: 2.6 }
          : { name: 'ruler', xMm: fromMm.x, yMm: fromMm.y, widthMm: 2.6, heightMm: lengthMm },
      ),
    ],
    grounds: layout.grounds.map((box, i) => ({ ...box, name: `ground ${i}` })),
  };
}

const isDisc = ({ name }: Named): boolean => name === 'solid' || name === 'ring';
const isStar = ({ name }: Named): boolean => name === 'star';

const meets = (a: BoxMm, b: BoxMm): boolean =>
  a.xMm + 1e-3 < b.xMm + b.widthMm &&
  b.xMm + 1e-3 < a.xMm + a.widthMm &&
  a.yMm + 1e-3 < b.yMm + b.heightMm &&
  b.yMm + 1e-3 < a.yMm + a.heightMm;

const holds = (a: BoxMm, b: BoxMm): boolean =>
  b.xMm >= a.xMm &&
  b.yMm >= a.yMm &&
  b.xMm + b.widthMm <= a.xMm + a.widthMm &&
  b.yMm + b.heightMm <= a.yMm + a.heightMm;

function faultsOf(layout: TestPlateLayout): string[] {
  const faults: string[] = [];
  const { standing, grounds } = boxesOf(layout);
  for (const disc of layout.fiducials)
    for (const star of layout.stars) {
      const bare =
        Math.hypot(disc.xMm - star.xMm, disc.yMm - star.yMm) - (disc.diameterMm + star.diameterMm) / 2;
      if (bare < 1.5) faults.push(`${bare} mm between ${disc.kind} and star`);
    }
  const inner = {
    xMm: EDGE_MM - 1e-6,
    yMm: EDGE_MM - 1e-6,
    widthMm: layout.widthMm - 2 * EDGE_MM + 2e-6,
    heightMm: layout.heightMm - 2 * EDGE_MM + 2e-6,
  };
  for (const [i, box] of [...standing, ...grounds].entries()) {
    if (!holds(inner, box)) faults.push(`${box.name} leaves the plate`);
    for (const other of standing.slice(i + 1))
      if (i < standing.length && meets(box, other) && !(isDisc(box) && isStar(other)))
        faults.push(`${box.name} on ${other.name}`);
  }
  for (const [i, ground] of grounds.entries()) {
    for (const other of grounds.slice(i + 1))
      if (meets(ground, other)) faults.push(`${ground.name} on ${other.name}`);
    for (const box of standing)
      if (meets(ground, box) && !holds(ground, box)) faults.push(`${box.name} half on ${ground.name}`);
    for (const label of layout.labels)
      if (meets(ground, labelBox(label))) faults.push(`${label.text} on ${ground.name}`);
  }
  return faults;
}

const sizes = (
  layout: TestPlateLayout,
  zone: string,
  side: string,
  direction: string | null = null,
): number[] => [
  ...new Set(
    layout.features
      .filter((f) => f.zone === zone && f.side === side && f.direction === direction)
      .map(({ sizeMm }) => sizeMm),
  ),
];

describe.each(['relief', 'intaglio'] as const)('a test plate in %s', (process) => {
  const layout = arrangeTestPlate(wish({ process }));

  it('takes 150 × 100 mm, with the pass ladder too', () => {
    expect(faultsOf(layout)).toEqual([]);
    const ladder = arrangeTestPlate(wish({ process, passes: [1, 2, 3, 4] }));
    expect(faultsOf(ladder)).toEqual([]);
    expect(ladder.ladder.map(({ passes }) => passes)).toEqual([1, 2, 3, 4]);
  });

  it('has every zone that the process asks for', () => {
    const zones = new Set([...layout.patches, ...layout.features].map(({ zone }) => zone));
    const own = process === 'relief' ? 'gaps' : 'pools';
    for (const zone of [
      'wedge',
      'wedge-scrambled',
      'solids',
      'strip',
      'grain',
      'ruling',
      'bars',
      'dots',
      own,
    ])
      expect(zones).toContain(zone);
    expect(layout.leftOut).toEqual([]);
    expect(layout.type.map(({ sizePt }) => sizePt)).toEqual([5, 6, 7, 8, 9, 10, 12]);
    expect(layout.rulers.map(({ axis, lengthMm }) => [axis, lengthMm])).toEqual([
      ['x', 100],
      ['y', 80],
    ]);
    expect(layout.stars).toHaveLength(5);
    expect(layout.paperZones.length).toBeGreaterThanOrEqual(2);
    expect(layout.strip).toMatchObject({ widthMm: 25, heightMm: 5 });
  });

  it('asks for every tone of the wedge twice, and the second time out of order', () => {
    const shares = (zone: string) => layout.patches.filter((p) => p.zone === zone).map(({ share }) => share);
    const wedge = shares('wedge');
    const scrambled = shares('wedge-scrambled');
    expect(wedge).toEqual(Array.from({ length: 21 }, (_, i) => i / 20));
    expect([...scrambled].sort((a, b) => a - b)).toEqual(wedge);
    for (let i = 1; i < scrambled.length; i++)
      expect(Math.abs(scrambled[i]! - scrambled[i - 1]!)).toBeGreaterThan(0.39);
  });

  it('has bars both ways, both sides and leaning, and dots of both sides', () => {
    const bars = [0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.2, 1.6];
    for (const side of ['kept', 'etched'])
      for (const direction of ['x', 'y', 'diagonal'])
        expect(sizes(layout, 'bars', side, direction)).toEqual(bars);
    for (const side of ['kept', 'etched'])
      expect(sizes(layout, 'dots', side)).toEqual([0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1]);
  });

  it('sets what prints free and what does not into ink', () => {
    for (const feature of layout.features) {
      const inGround = layout.grounds.some((ground) => holds(ground, feature));
      expect([feature.id, inGround]).toEqual([feature.id, feature.side !== processes[process].prints]);
    }
  });

  it('finds its way on plates of any size that is large enough', () => {
    const side = fc.integer({ min: 60, max: 320 });
    let made = 0;
    fc.assert(
      fc.property(side, side, (widthMm, heightMm) => {
        let found: TestPlateLayout;
        try {
          found = arrangeTestPlate(wish({ process, widthMm, heightMm, dpi: 500 }));
        } catch (error) {
          expect((error as { code: string }).code).toBe('testplate-too-small');
          return;
        }
        made++;
        expect(faultsOf(found)).toEqual([]);
        const [left, right] = [5, widthMm - 5];
        expect(found.fiducials.map(({ xMm, yMm, kind }) => [xMm, yMm, kind])).toEqual([
          [left, 5, 'solid'],
          [right, 5, 'solid'],
          [left, heightMm - 5, 'solid'],
          [right, heightMm - 5, 'ring'],
        ]);
      }),
      { seed: 7, numRuns: 25 },
    );
    expect(made).toBeGreaterThan(8);
  });
});

describe('a test plate', () => {
  it('names sizes that are enough where one is too small, and they are', () => {
    const small = wish({ widthMm: 110, heightMm: 90 });
    let hint = '';
    try {
      arrangeTestPlate(small);
    } catch (error) {
      hint = (error as { hint: string }).hint;
    }
    const sizesNamed = [...hint.matchAll(/(\d+) × (\d+) mm/g)].map(
      ([, w, h]) => [Number(w), Number(h)] as const,
    );
    expect(sizesNamed.length).toBeGreaterThan(0);
    for (const [widthMm, heightMm] of sizesNamed)
      expect(faultsOf(arrangeTestPlate({ ...small, widthMm, heightMm }))).toEqual([]);
  });

  it('says which samples its pixels are too coarse for', () => {
    const coarse = arrangeTestPlate(wish({ dpi: 250 }));
    expect(coarse.leftOut.join()).toContain('a grain of 0.1 mm');
    expect(coarse.patches.some(({ screen }) => screen?.params['grainMm'] === 0.1)).toBe(false);
  });

  it('is the same whenever it is asked for, and comes back from JSON', () => {
    const layout = arrangeTestPlate(wish());
    expect(arrangeTestPlate(wish())).toEqual(layout);
    expect(parseTestPlate(JSON.parse(JSON.stringify(layout)))).toEqual(layout);
  });
});
