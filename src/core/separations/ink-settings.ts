import * as z from 'zod';
import { EtchError } from '../errors.ts';
import type { InkLimits } from './inks/solve.ts';

/** Settings of the separations that mix inks. */
export const mixing = {
  totalInkPercent: z
    .number()
    .min(50)
    .max(500)
    .default(220)
    .describe(
      'most ink in one place, all plates together: wet on wet about 220 from intaglio plates, 240 from relief blocks, from memory',
    )
    .meta({ unit: 'percent' }),
  mostInkPercent: z
    .array(z.coerce.number().min(1).max(100))
    .min(1)
    .max(5)
    .describe('darkest tone of each plate in printing order, joined by commas; one alone is for all')
    .meta({ unit: 'percent', unlessGiven: '100 for each' })
    .optional(),
  whiteIs: z
    .enum(['paper', 'white'])
    .default('paper')
    .describe(
      'paper: the white of the picture is the bare sheet; white: colours as they are, so that ink evens out a toned sheet',
    ),
};

/** Those settings, read: 50 to 500 % in all, 1 to 100 % of each ink. */
export interface Mixing {
  readonly totalInkPercent: number;
  readonly mostInkPercent?: readonly number[] | undefined;
  readonly whiteIs: 'paper' | 'white';
}

/** What is wrong with the darkest tones for so many inks; null where nothing is. */
export function unfitMixing(
  { mostInkPercent = [100] }: Mixing,
  inks: number,
): { readonly message: string; readonly hint: string } | null {
  if (mostInkPercent.length === 1 || mostInkPercent.length === inks) return null;
  return {
    message: `Mixing ${inks} inks: ${mostInkPercent.length} darkest tones are given`,
    hint: 'Give one for each ink in printing order, or one for all.',
  };
}

/** Limits of so many inks. */
export function limitsOf(params: Mixing, inks: number): InkLimits {
  const unfit = unfitMixing(params, inks);
  if (unfit) throw new EtchError('usage', 'darkest-tones-not-inks', unfit.message, unfit.hint);
  const { totalInkPercent, mostInkPercent = [100] } = params;
  return {
    caps: Array.from({ length: inks }, (_, i) => (mostInkPercent[i] ?? mostInkPercent[0]!) / 100),
    total: totalInkPercent / 100,
  };
}
