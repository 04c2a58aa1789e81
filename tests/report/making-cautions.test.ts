import { expect, test } from 'vitest';
import { estimateTime } from '../../src/core/time/estimate.ts';
import { depthOf } from '../../src/job/hold-limits.ts';
import { type KnownWorkshop, resolveMaking } from '../../src/job/making.ts';
import { workshopSchema } from '../../src/job/workshop.ts';
import { makingCautions } from '../../src/report/cautions/making.ts';

const MM = 10;

interface Case {
  readonly process?: 'relief' | 'intaglio';
  readonly material?: string;
  readonly widthMm?: number;
  readonly heightMm?: number;
  readonly depthMm?: number;
  readonly lineArt?: boolean | null;
  readonly widen?: string;
  /** Not a mark on it. */
  readonly bare?: boolean;
  readonly found?: {
    readonly code: string;
    readonly worstMm: number;
    readonly limitMm?: number;
    readonly count?: number;
  };
}

/** The cautions of a plate marked all over, or not at all, in a workshop. */
function cautionsOf(parts: Record<string, unknown> | null, what: Case) {
  const { process = 'relief', material = 'wood', widthMm = 100, heightMm = 100, depthMm = 2 } = what;
  const file: KnownWorkshop | null = parts && {
    workshop: workshopSchema.parse({ version: 1, name: 'Ennerby Quay', ...parts }),
    sha256: 'a'.repeat(64),
  };
  const { making } = resolveMaking({ process, material }, file);
  const all = (lengthPx: number, lines: number) => ({
    lengthPx,
    first: new Int32Array(lines).fill(what.bare ? -1 : 0),
    last: new Int32Array(lines).fill(what.bare ? -1 : lengthPx - 1),
  });
  const [w, h] = [widthMm * MM, heightMm * MM];
  const time = estimateTime(
    { rows: all(w, h), columns: all(h, w), pitchMm: { x: 1 / MM, y: 1 / MM } },
    1,
    making.machine,
  );
  const hold = what.found
    ? [
        {
          limitMm: 1,
          count: 1,
          ...what.found,
          basis: 'from-memory' as const,
          areaMm2: 1,
          share: 0.1,
          byWidth: [],
          places: [],
        },
      ]
    : [];
  return makingCautions({
    process,
    dpi: 254,
    making,
    size: { widthMm, heightMm },
    depth: depthOf({ depthMm }, making),
    lineArt: what.lineArt === undefined ? true : what.lineArt,
    widen: what.widen ?? null,
    analysis: { predictedPx: 0, hold, time },
  });
}

const one = (cautions: ReturnType<typeof cautionsOf>, code: string) =>
  cautions.find((caution) => caution.code === code);

test.each(['thin-walls', 'small-dots', 'gaps-fill', 'small-marks'])(
  '%s: one is it, several are they',
  (code) => {
    const told = (count: number) =>
      one(cautionsOf(null, { found: { code, worstMm: 0.05, limitMm: 0.1, count } }), code)!.text;
    expect(told(1)).toMatch(/^1 .* is .*: it may /);
    expect(told(2)).toMatch(/^2 .* are .*: they may /);
  },
);

test.each([
  [0.05, 0.1, '0.05 mm'],
  [0.098, 0.1, '0.098 mm'],
  [0.09996, 0.1, 'just under 0.1 mm'],
  [0.1, 0.1, '0.1 mm'],
  [0.2968, 0.3, '0.297 mm'],
])('what measures %s mm against %s mm is told as %s', (worstMm, limitMm, told) => {
  const { text } = one(cautionsOf(null, { found: { code: 'small-dots', worstMm, limitMm } }), 'small-dots')!;
  expect(text).toContain(`smaller than ${limitMm} mm, the smallest ${told}:`);
});

test('what is wider than its limit is never told as wide', () => {
  const told = (worstMm: number) =>
    one(
      cautionsOf(null, { process: 'intaglio', found: { code: 'open-bite', worstMm, limitMm: 2 } }),
      'open-bite',
    )!.text;
  expect(told(2.04)).toContain('wider than 2 mm, the widest 2.04 mm');
  expect(told(2.3)).toContain('wider than 2 mm, the widest 2.3 mm');
  expect(told(2.00001)).toContain('wider than 2 mm, the widest just over 2 mm');
});

test('a plate on which nothing is etched needs no engraving, and no time for it', () => {
  const found = cautionsOf(null, { widthMm: 590, heightMm: 390, bare: true });
  expect(one(found, 'nothing-to-engrave')).toMatchObject({ severity: 'note', value: 0, unit: 's' });
  expect(found.map(({ code }) => code).join()).not.toMatch(/slot|long|travel/);
  expect(one(cautionsOf(null, {}), 'nothing-to-engrave')).toBeUndefined();
});

test('a floor that prints names the depth that helps, and none where none does', () => {
  const floor = (worstMm: number, press: Record<string, unknown>, sheet = {}) =>
    one(
      cautionsOf(
        { presses: [{ id: 'p', ...press }], materials: [{ id: 'pear', kind: 'wood', ...sheet }] },
        { material: 'pear', found: { code: 'floor-prints', worstMm } },
      ),
      'floor-prints',
    )?.cure;
  // R − √(R² − g²/4) with R = 25: 10 for g = 40; from g = 2R on it lies on the floor (circle geometry)
  expect(floor(40, { kind: 'roller' }, { thicknessMm: 18 })).toMatch(/^Go 10 mm deep/);
  expect(floor(62, { kind: 'roller' })).toMatch(/no depth helps: saw it out/);
  expect(floor(40, { kind: 'roller' }, { thicknessMm: 6 })).toMatch(/more than a sheet of 6 mm has/);
  // two thirds of a sheet, from memory, are 9.38 of 14 mm; nobody has said how thick this one is
  expect(floor(40, { kind: 'roller' }, { thicknessMm: 14 })).toMatch(
    /10 mm.* leaves too little of a sheet of 14 mm/,
  );
  expect(floor(40, { kind: 'roller' })).toMatch(/10 mm.* most sheets are too thin: saw it out/);
  expect(floor(40, { kind: 'roller' }, { thicknessMm: 18, depthPerPassMm: 0.009 })).toMatch(
    /10 mm.* more than 1000 passes give at 0.009 mm each: saw it out/,
  );
  // a carver's depths for a baren (woodblock.com): 50 mm wants 3.6 mm, the deepest is 5
  expect(floor(50, { kind: 'baren' })).toMatch(/^Go 3.6 mm deep/);
  expect(floor(300, { kind: 'baren' }, { thicknessMm: 8 })).toMatch(/^Go 5 mm deep/);
});

test('a plate that lies on the bed only turned is told so, and one that lies is not', () => {
  const on = (widthMm: number, heightMm: number) =>
    cautionsOf({ machines: [{ id: 'm', bedMm: { x: 600, y: 400 } }] }, { widthMm, heightMm }).map(
      ({ code, severity }) => `${code} ${severity}`,
    );
  expect(on(100, 500)).toContain('lies-turned-only warn');
  expect(on(500, 100).join()).not.toMatch(/lies-turned-only|larger-than-bed/);
  expect(on(500, 500)).toContain('larger-than-bed stop');
});

test('room for the ramps: the speed named just fits the bed, and turning is named only where it helps', () => {
  const machine = { id: 'm', bedMm: { x: 150, y: 300 }, speedMmS: 800, accelMmS2: 5000 };
  const cure = (widthMm: number, heightMm: number) =>
    one(cautionsOf({ machines: [machine] }, { widthMm, heightMm }), 'travel-beyond-bed')?.cure;
  // w + v²/a = 100 + 500²/5000 = 150 (kinematics)
  expect(cure(100, 100)).toMatch(/^Set no more than 500 mm\/s\. A slower/);
  // turned, 20 mm and 128 mm for the ramps lie within 150 mm: 1000 rows of 20/800 + 2 · 800/5000 s = 345 s
  expect(cure(100, 20)).toMatch(/^Set no more than 500 mm\/s, or lay it turned by 90° \(5:45 min\)\./);
});

test('a workshop file that leaves out spot or motion says that they are from memory', () => {
  const text = (machine: Record<string, unknown>) =>
    one(cautionsOf({ machines: [{ id: 'm', ...machine }] }, {}), 'unmeasured-machine')?.text;
  expect(text({})).toMatch(/from memory: spot, speed, acceleration$/);
  expect(text({ spotMm: 0.12, speedMmS: 400 })).toMatch(/from memory: acceleration$/);
  expect(text({ spotMm: 0.12, speedMmS: 400, accelMmS2: 4000 })).toBeUndefined();
});

test('a run of over an hour sends to the staff, whether or not the slot is as long', () => {
  const cures = (slotMinutes: number, heightMm: number) =>
    cautionsOf({ machines: [{ id: 'm', slotMinutes, bedMm: { x: 2000, y: 2000 } }] }, { heightMm })
      .filter(({ code }) => code === 'slot-overrun' || code === 'long-run')
      .map(({ code, cure }) => `${code}: ${/Talk to the staff/.test(cure)}`);
  // 10,000 rows of 0.4 s take 67 minutes, 1,000 take 7
  expect(cures(90, 1000)).toEqual(['long-run: true']);
  expect(cures(60, 1000)).toEqual(['slot-overrun: true']);
  expect(cures(5, 100)).toEqual(['slot-overrun: false']);
});

test('a cure for line art is not one for a screened tone, and a plate file nobody knows gets both', () => {
  const cure = (code: string, lineArt: boolean | null) =>
    one(
      cautionsOf(null, { process: 'intaglio', material: 'acrylic', lineArt, found: { code, worstMm: 0.05 } }),
      code,
    )!.cure;
  for (const code of ['open-bite', 'thin-lands']) {
    expect(cure(code, true)).not.toMatch(/lower the --cap|a lower --cap|--dpi/i);
    expect(cure(code, false)).toMatch(/--cap/);
    expect(cure(code, null)).toMatch(/^Line art: draw .* A screened tone: .*--cap/);
  }
});

test('a screen that can be asked for wider lands is, before anybody is sent to another resolution', () => {
  const found = { code: 'thin-lands', worstMm: 0.05 };
  const cautions = cautionsOf(null, { process: 'intaglio', lineArt: false, widen: 'a wider --cell', found });
  expect(one(cautions, 'thin-lands')!.cure).toBe('Ask for a wider --cell, or a lower --cap.');
});

test('whoever is told to go slower is told that it etches deeper', () => {
  const machine = { id: 'm', bedMm: { x: 150, y: 300 }, speedMmS: 800, accelMmS2: 5000 };
  const cautions = cautionsOf({ machines: [machine] }, {});
  for (const code of ['faster-than-best', 'travel-beyond-bed'])
    expect(one(cautions, code)!.cure).toMatch(/slower beam etches deeper/);
});

test('data of a lens without a wavelength are told to be of no use', () => {
  const codes = (wavelengthUm: Record<string, number>) =>
    cautionsOf(
      { machines: [{ id: 'm', lens: { focalMm: 50.8, beamMm: 4, m2: 1.2 }, ...wavelengthUm }] },
      {},
    ).map(({ code }) => code);
  expect(codes({})).toContain('focus-unknown');
  expect(codes({ wavelengthUm: 10.6 })).toContain('focus');
});

test('thin ground is told a resolution at which one pixel of it holds, not the one it has', () => {
  const machines = [{ id: 'm', spotMm: 0.04 }];
  const found = { code: 'thin-lands', worstMm: 0.04, limitMm: 0.05 };
  const cure = one(
    cautionsOf({ machines }, { process: 'intaglio', material: 'acrylic', lineArt: false, found }),
    'thin-lands',
  )!.cure;
  // n pixels between marks leave (n + 1) pitches − spot: 2 · 25.4 / 564 − 0.04 = 0.0501 mm (disc geometry)
  expect(cure).toMatch(/^Make the plate at --dpi 564,/);
});

test('a sheet not known here says whose limits it is held against, and gets no hint to call it another', () => {
  const cautions = cautionsOf(null, { material: 'moon rock' });
  expect(one(cautions, 'assumed-limits')!.text).toMatch(/moon rock; limits are those of wood/);
  expect(one(cautions, 'passes-unknown')!.cure).not.toMatch(/--material/);
  expect(one(cautionsOf(null, { material: 'pear' }), 'assumed-limits')).toBeUndefined();
});
