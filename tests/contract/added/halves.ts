import * as z from 'zod';
import { bitsOf, labelRange } from '../../../src/core/separations/bits.ts';
import { defineSeparation } from '../../../src/core/separations/contract.ts';

/** Two plates, the light half of the tones and the dark half. */
export const halves = defineSeparation({
  kind: 'halves',
  summary: 'two plates, the light half of the tones and the dark half',
  params: z.strictObject({}),
  inks: { least: 2, most: 2, found: 2 },
  oneBlock: false,
  way: () => ({
    draws: 'areas',
    by: 'darkness',
    levels: () => [0.25, 0.75],
    smoothMm: 0.5,
    lines: () => [],
    shape: ({ labels }, { inks }) => ({
      plates: inks.map((_, ink) => bitsOf(labels, labelRange(ink + 1, inks.length))),
      findings: [],
    }),
  }),
});
