import { expect, test } from 'vitest';
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
