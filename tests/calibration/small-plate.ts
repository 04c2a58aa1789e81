import type { TestFeature, TestPatch, TestPlateLayout } from '../../src/core/testplate/layout.ts';

const STEPS = 21;

/** A made-up test plate that holds every zone the reading asks for; not one that the program lays out. */
export function smallPlate(process: 'intaglio' | 'relief'): TestPlateLayout {
  const patches: TestPatch[] = [];
  const put = (zone: TestPatch['zone'], i: number, share: number, x: number, y: number, side: number) =>
    patches.push({
      id: `${zone}-${i}`,
      zone,
      share,
      xMm: x,
      yMm: y,
      widthMm: side,
      heightMm: side,
      label: '',
      screen: null,
    });
  for (let i = 0; i < STEPS; i++) {
    put('wedge', i, i / 20, 10 + (i % 11) * 6.5, 12 + Math.floor(i / 11) * 6.5, 6);
    // 8 and 21 have no common factor, so every step comes once
    put('wedge-scrambled', i, ((i * 8) % STEPS) / 20, 10 + (i % 11) * 6.5, 75 + Math.floor(i / 11) * 6.5, 6);
  }
  for (let i = 0; i < 7; i++)
    put('solids', i, (14 + i) / 20, 84 + (i % 5) * 11, 12 + Math.floor(i / 5) * 11, 10);
  for (let i = 0; i < 5; i++) put('strip', i, i / 4, 90 + i * 5, 80, 5);
  const features: TestFeature[] = [];
  const inked = process === 'intaglio' ? 'etched' : 'kept';
  const bare = process === 'intaglio' ? 'kept' : 'etched';
  let y = 34;
  for (const sizeMm of [0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.2, 1.6]) {
    for (const [side, left] of [
      [inked, 10],
      [bare, 52],
    ] as const) {
      features.push({
        id: `bar-${side}-${sizeMm}`,
        zone: 'bars',
        side,
        shape: 'bar',
        sizeMm,
        direction: 'x',
        xMm: left,
        yMm: y,
        widthMm: 12,
        heightMm: sizeMm,
      });
      features.push({
        id: `bar-${side}-${sizeMm}-d`,
        zone: 'bars',
        side,
        shape: 'bar',
        sizeMm,
        direction: 'diagonal',
        xMm: left + 14,
        yMm: y - 0.5,
        widthMm: 2 + sizeMm * Math.SQRT2,
        heightMm: 2,
      });
      features.push({
        id: `dot-${side}-${sizeMm}`,
        zone: 'dots',
        side,
        shape: 'disc',
        sizeMm,
        direction: null,
        xMm: left + 24 - sizeMm / 2,
        yMm: y,
        widthMm: sizeMm,
        heightMm: sizeMm,
      });
    }
    y += 3.2 + sizeMm;
  }
  let x = 96;
  for (const sizeMm of [0.3, 0.5, 0.8, 1.2, 2, 3, 5, 8]) {
    features.push({
      id: `pool-${sizeMm}`,
      zone: 'pools',
      side: inked,
      shape: 'square',
      sizeMm,
      direction: null,
      xMm: x,
      yMm: 50,
      widthMm: sizeMm,
      heightMm: sizeMm,
    });
    x += sizeMm + 2.5;
  }
  return {
    schema: 'etchwright/testplate',
    version: 1,
    id: '00000000',
    process,
    widthMm: 150,
    heightMm: 100,
    dpi: 600,
    spotMm: 0.1,
    beam: 'pulse',
    screen: { kind: 'grain', params: {} },
    fiducials: [
      { xMm: 5, yMm: 5, diameterMm: 4, kind: 'ring' },
      { xMm: 145, yMm: 5, diameterMm: 4, kind: 'solid' },
      { xMm: 145, yMm: 95, diameterMm: 4, kind: 'solid' },
      { xMm: 5, yMm: 95, diameterMm: 4, kind: 'solid' },
    ],
    patches,
    features,
    rulers: [{ axis: 'x', fromMm: { x: 25, y: 95 }, lengthMm: 100, stepMm: 5 }],
    stars: [],
    type: [],
    strip: { xMm: 90, yMm: 80, widthMm: 25, heightMm: 5 },
    ladder: [],
    paperZones: [{ xMm: 120, yMm: 75, widthMm: 12, heightMm: 12 }],
    grounds: [{ xMm: 50, yMm: 32, widthMm: 30, heightMm: 38 }],
    labels: [],
    leftOut: [],
  };
}
