import { expect, test } from 'vitest';
import { aidNotes, untimedWords } from '../../src/report/set/aid.ts';
import { registerWords } from '../../src/report/set/register.ts';

const facts = {
  aid: null,
  trustedMm: 0.3,
  triedMm: 1,
  fitsMm: null,
  plate: null,
  slivers: [],
  worst: null,
};
const sliver = {
  plate: 'y',
  fitsMm: 0.2,
  first: { xMm: 3, yMm: 4, way: 'up' },
  bareMm2: 1,
  way: 'up',
  overlapMm2: 0,
};

test('how a set fits goes on from "The set"', () => {
  const words = [facts, { ...facts, fitsMm: 0.2, plate: 'y', slivers: [sliver] }].map(
    (one) => `The set ${registerWords(one as Parameters<typeof registerWords>[0])}.`,
  );
  expect(words).toEqual([
    'The set shows no paper between inks with any plate 1 mm off.',
    'The set fits to ± 0.2 mm; further up, y bares paper at 3, 4 mm.',
  ]);
});

const notesOf = (...stretches: readonly (readonly [x: number, y: number])[]): string =>
  aidNotes(
    { kind: 'crosses', first: 'k', shelfMm: null } as Parameters<typeof aidNotes>[0],
    stretches.map(([stretchXPercent, stretchYPercent]) => ({
      report: { job: { stretchXPercent, stretchYPercent } },
    })) as unknown as Parameters<typeof aidNotes>[1],
  ).join(' ');

test('what verniers read is given as the stretch, or comes on top of the one that plates have', () => {
  expect(notesOf([0, 0], [0, 0])).toContain('shrunk: give it as --stretch-x and --stretch-y.');
  const some = notesOf([0.46, 0], [0.46, 0]);
  expect(some).toContain('shrunk beyond the 0.46 % across and 0 % down that these plates allow for: add it');
  expect(some).not.toContain('give it as');
  expect(notesOf([0.46, 0], [0, 0])).toContain('beyond what each of these plates allows for: add it');
});

test('totals of time say what they leave out: shelves, where an aid has any', () => {
  const aid = {
    ...{ kind: 'kento', trueMm: 0.2, needsMm: 12, borderMm: 13, wasteShare: 0.3, first: null, lines: [] },
    shelfMm: { least: 0.3, most: 1 },
  };
  expect(untimedWords(aid)).toBe(', without the shelves of the kento, whose depth hangs on the paper');
  expect([untimedWords({ ...aid, shelfMm: null }), untimedWords(null)]).toEqual(['', '']);
});
