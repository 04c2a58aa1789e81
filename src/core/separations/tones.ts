import * as z from 'zod';
import { openLuminance } from '../luminance.ts';
import { FULL_TONE } from '../tone.ts';
import { bitsOf, labelRange } from './bits.ts';
import { defineSeparation, type ToneSplit } from './contract.ts';

/** One tone of the picture, 0 … 1, becomes this of one plate. */
type Curve = (tone: number) => number;

/** The dark plate begins where the light one has done most of its work (common practice). */
const DARK_FROM = 0.3;
/** The light plate is solid from there on. */
const LIGHT_FULL = 0.7;
/** Bends the dark plate so that it comes in softly. */
const DARK_GAMMA = 1.4;

const light: Curve = (tone) => Math.min(1, tone / LIGHT_FULL);
const dark =
  (from: number): Curve =>
  (tone) =>
    Math.max(0, (tone - from) / (1 - from)) ** DARK_GAMMA;

/**
 * A curve for each plate from light to dark: the first rises at once and is solid early, the others come in one after
 * the other and reach their solid in the full black of the picture. All rise, from tone 0 … 1 to ink 0 … 1.
 */
export const toneCurves = (plates: number): Curve[] =>
  Array.from({ length: plates }, (_, plate) =>
    plate === 0 && plates > 1
      ? light
      : plates === 1
        ? (tone) => tone
        : dark((DARK_FROM * 2 * plate) / plates),
  );

/** The curves plate by plate, a tone for each tone of the picture. */
function curveTable(plates: number): Uint16Array {
  const table = new Uint16Array(plates * (FULL_TONE + 1));
  for (const [plate, curve] of toneCurves(plates).entries())
    for (let tone = 0; tone <= FULL_TONE; tone++)
      table[plate * (FULL_TONE + 1) + tone] = Math.round(curve(tone / FULL_TONE) * FULL_TONE);
  return table;
}

function openCurves(table: Uint16Array, plates: number): ToneSplit {
  const luminance = openLuminance();
  return (rgb, tones) => {
    const width = tones[0]!.length;
    for (let x = 0, at = 0; x < width; x++, at += 3) {
      const tone = FULL_TONE - luminance(rgb[at]! * 257, rgb[at + 1]! * 257, rgb[at + 2]! * 257);
      for (let plate = 0; plate < plates; plate++) tones[plate]![x] = table[plate * (FULL_TONE + 1) + tone]!;
    }
  };
}

/** Blocks of even steps: with n of them the first takes all that is darker than 1/(n + 1). */
const evenLevels = (plates: number): number[] =>
  Array.from({ length: plates }, (_, plate) => (plate + 1) / (plates + 1));

/** Plates for tones of one picture, from light to dark: nested blocks, or curves that overlap. */
export const tones = defineSeparation({
  kind: 'tones',
  summary: 'plates from light to dark: flat blocks, each inside the one before, or tone curves',
  params: z.strictObject({
    toneAs: z
      .enum(['blocks', 'curves'])
      .default('blocks')
      .describe('flat blocks, each within the one printed before, or a tone curve for each plate'),
    smoothMm: z
      .number()
      .min(0)
      .max(10)
      .default(0.5)
      .describe('width over which tones are smoothed first, so that the edges of blocks do not fray')
      .meta({ unit: 'mm' }),
    levels: z
      .array(z.coerce.number().min(1).max(99))
      .min(1)
      .max(8)
      .describe('darkness from which each block prints, in percent, rising and joined by commas')
      .meta({ unlessGiven: 'even steps' })
      .optional(),
  }),
  inks: { least: 1, most: 8, found: 3 },
  oneBlock: false,
  unfit: ({ toneAs, levels }, inks) => {
    if (!levels) return null;
    if (toneAs === 'curves')
      return {
        message: '--levels says where blocks begin, and --tone-as curves makes none',
        hint: 'Leave one of them out.',
      };
    const rising = levels.every((level, index) => index === 0 || level > levels[index - 1]!);
    return rising && levels.length === inks.length
      ? null
      : {
          message: `--levels: ${levels.join(',')} ${rising ? `are ${levels.length} for ${inks.length} plates` : 'do not rise'}`,
          hint: 'Give one level for each plate, from the first printed to the last, such as 25,50,75.',
        };
  },
  way: ({ toneAs, smoothMm, levels }) =>
    toneAs === 'curves'
      ? { draws: 'tones', build: (inks) => curveTable(inks.length), open: openCurves }
      : {
          draws: 'areas',
          by: 'darkness',
          levels: (plates) => levels?.map((percent) => percent / 100) ?? evenLevels(plates),
          smoothMm,
          lines: () => [],
          shape: ({ labels }, { inks }) => ({
            plates: inks.map((_, ink) => bitsOf(labels, labelRange(ink + 1, inks.length))),
            findings: [],
          }),
        },
});
