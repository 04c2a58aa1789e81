import { describe, expect, test } from 'vitest';
import { safetyCautions } from '../../src/core/cautions-safety.ts';
import type { MaterialDef } from '../../src/core/materials/contract.ts';
import { materials } from '../../src/core/materials/index.ts';
import { presses } from '../../src/core/presses.ts';
import { processes } from '../../src/core/processes/index.ts';
import type { AnyScreenDef } from '../../src/core/screens/contract.ts';
import { screens } from '../../src/core/screens/index.ts';
import { depthOf, holdLimits } from '../../src/job/hold-limits.ts';
import { resolveMaking } from '../../src/job/making.ts';
import { workshopSchema } from '../../src/job/workshop.ts';
import { holdWords } from '../../src/report/cautions/hold.ts';
import { makingCautions } from '../../src/report/cautions/making.ts';

const sheets: readonly MaterialDef[] = Object.values(materials);
const NOTHING = {
  predictedPx: 0,
  hold: [],
  time: {
    perPassS: 0,
    rows: 0,
    markedMm: 0,
    overscanMm: 0,
    travelMm: 0,
    fitsTravel: true,
    bestSpeedMmS: 1000,
    totalS: 0,
    slotS: 3600,
    fitsSlot: true,
    spareS: 3600,
    passesPerSlot: 1,
    turned: null,
  },
};

function cautionsFor(process: 'relief' | 'intaglio', material: string, materialConfirmed?: string) {
  const { making } = resolveMaking(
    { process, material, ...(materialConfirmed ? { materialConfirmed } : {}) },
    null,
  );
  return makingCautions({
    process,
    dpi: 254,
    making,
    size: { widthMm: 100, heightMm: 100 },
    depth: depthOf({}, making),
    lineArt: true,
    widen: null,
    analysis: NOTHING,
  });
}

const stopped = (process: 'relief' | 'intaglio', material: string, confirmed?: string): boolean =>
  cautionsFor(process, material, confirmed).some(({ severity }) => severity === 'stop');

describe.each(sheets.filter(({ status }) => status === 'never').map((sheet) => [sheet.kind, sheet] as const))(
  'never: %s',
  (_, sheet) => {
    test('is refused by its kind, its names and every disguise, for both processes, whoever confirms it', () => {
      for (const text of [sheet.kind, ...sheet.names, ...sheet.disguises])
        for (const process of ['relief', 'intaglio'] as const) {
          expect([text, stopped(process, text)]).toEqual([text, true]);
          expect([text, stopped(process, text.toUpperCase(), 'A. Keel, today')]).toEqual([text, true]);
        }
    });
  },
);

describe.each(sheets.filter(({ status }) => status === 'ask').map((sheet) => [sheet.kind, sheet] as const))(
  'ask first: %s',
  (_, sheet) => {
    test('stops until somebody has confirmed it', () => {
      expect(stopped('relief', sheet.kind)).toBe(true);
      expect(stopped('relief', sheet.kind, 'A. Keel, 3 May')).toBe(false);
    });
  },
);

test('what is not known stops until somebody has confirmed it; no sheet named is a note', () => {
  expect(stopped('relief', 'grey stuff from the attic')).toBe(true);
  expect(stopped('relief', 'grey stuff from the attic', 'A. Keel, 3 May')).toBe(false);
});

test('nothing that is printed of a sheet or of safety says that something is allowed', () => {
  const words = [
    ...sheets.flatMap((sheet) => [sheet.summary, sheet.reason, ...sheet.cautions]),
    ...sheets.flatMap(({ kind }) =>
      cautionsFor('relief', kind, 'A. Keel').flatMap(({ text, cure }) => [text, cure]),
    ),
    ...safetyCautions.map(({ text }) => text),
  ];
  for (const text of words)
    expect(text).not.toMatch(/\b(allowed|permitted|safe to|approved|is safe|may be used|fine to)\b/i);
});

describe.each(Object.values(processes))('process $kind', (process) => {
  test('assumes a sheet that there is, made for it', () => {
    const sheet = sheets.find(({ kind }) => kind === process.assumes);
    expect(sheet?.processes).toContain(process.kind);
    expect(sheet?.status).toBe('declare');
  });

  test('every need has words and a limit', () => {
    const { making } = resolveMaking({ process: process.kind as 'relief' | 'intaglio' }, null);
    const limits = holdLimits(making, depthOf({}, making));
    for (const { code, limit } of process.holds) {
      expect(Object.keys(holdWords)).toContain(code);
      expect([code, Object.keys(limits).includes(limit)]).toEqual([code, true]);
    }
  });
});

test('every check that a process asks for and everything a screen gives up has words, and nothing else', () => {
  const asked = Object.values(processes).flatMap(({ holds }) => holds.map(({ code }) => code));
  const given = Object.values<AnyScreenDef>(screens).flatMap((def) =>
    def.draws === 'bits' ? (def.finds ?? []) : [],
  );
  expect(Object.keys(holdWords).sort()).toEqual([...new Set([...asked, ...given])].sort());
});

describe.each(Object.values(presses))('press $kind', (press) => {
  test('never needs less depth for a wider gap, and can be named in a workshop file', () => {
    let before = 0;
    for (let gapMm = 0; gapMm < 120; gapMm += 0.5) {
      const needed = press.neededDepthMm(gapMm, 25);
      expect(needed).toBeGreaterThanOrEqual(before);
      before = needed;
    }
    const file = { version: 1, name: 'x', presses: [{ id: 'p', kind: press.kind }] };
    expect(workshopSchema.safeParse(file).success).toBe(true);
  });
});

test('every plate is told that the room’s own rules come first, and reminded of what its process and sheet bring', () => {
  const codes = (process: 'relief' | 'intaglio', sheet: string) =>
    cautionsFor(process, sheet, 'A. Keel').flatMap(({ code, severity }) =>
      code.startsWith('safety') ? [`${code} ${severity}`] : [],
    );
  expect(codes('relief', 'wood')).toEqual(
    expect.arrayContaining([
      'safety note',
      'safety-laser note',
      'safety-fume note',
      'safety-dust note',
      'safety-presses note',
    ]),
  );
  expect(codes('intaglio', 'zinc')).toContain('safety-metals note');
  expect(codes('intaglio', 'acrylic')).not.toContain('safety-metals note');
});
