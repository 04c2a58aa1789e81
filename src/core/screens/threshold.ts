import * as z from 'zod';
import { defineScreen } from './contract.ts';
import { openOrdered } from './ordered.ts';

/** Largest tone that stays paper at a level; at 0 % everything but bare paper is ink, at 100 % only solids are. */
function paperToneAt(levelPercent: number): number {
  return Math.max(1, Math.ceil((levelPercent * 65535) / 100)) - 1;
}

/** Ink where the tone reaches one level, paper elsewhere: for line art. */
export const threshold = defineScreen({
  kind: 'threshold',
  summary: 'ink where the tone reaches one level, no halftone; for line art and lettering',
  params: z.strictObject({
    levelPercent: z
      .number()
      .min(0)
      .max(100)
      .default(50)
      .describe(
        'darkness (100 is full ink) from which on a pixel is ink; not lightness, as the white point takes',
      )
      .meta({ unit: 'percent' }),
  }),
  leadInRows: 0,
  compensates: 'no',
  packs: 'runs',
  forLineArt: true,
  tones: () => 2,
  open: ({ levelPercent }, { widthPx }) =>
    openOrdered(
      { widthPx: 8, heightPx: 1, paperTones: new Uint16Array(8).fill(paperToneAt(levelPercent)) },
      widthPx,
    ),
});
