import * as z from 'zod';
import { CURVE_TARGETS } from '../../core/calibration/curve-file.ts';

const measuring = (more: { readonly names?: string; readonly unit?: string } = {}) => ({
  group: 'measuring',
  bits: false,
  ...more,
});

/** What only the reading of proofs is told. */
export const calibrateSettings = z.strictObject({
  layout: z
    .string()
    .min(1)
    .describe('layout of the test plate, or of the control strip, written beside the plate')
    .meta(measuring({ names: 'file' }))
    .optional(),
  target: z
    .enum(CURVE_TARGETS)
    .describe('what is to be evenly spaced between printed white and solid')
    .meta(measuring())
    .default('lightness'),
  rulerMm: z
    .number()
    .min(20)
    .max(500)
    .describe(
      'length of a black strip that lay beside the print on a flat-bed scanner; gives stretch, and the spot as it prints',
    )
    .meta(measuring({ unit: 'mm' }))
    .optional(),
  wedge: z
    .string()
    .min(1)
    .describe(
      'file of a reference wedge of known densities that lay beside the print; without one, codes are taken for sRGB',
    )
    .meta(measuring({ names: 'file' }))
    .optional(),
  measuredOn: z.iso
    .date()
    .describe('day of the proof, such as 2031-05-03; today unless given')
    .meta(measuring({ names: 'day' }))
    .optional(),
  batch: z
    .string()
    .min(1)
    .max(100)
    .describe('batch of the sheet')
    .meta(measuring({ names: 'text' }))
    .optional(),
  into: z
    .string()
    .min(1)
    .describe('workshop file to enter curve and limits in; wants --material')
    .meta(measuring({ names: 'file' }))
    .optional(),
  controlStrip: z
    .string()
    .min(1)
    .describe('read the control strip only, and compare it with this curve')
    .meta(measuring({ names: 'curve' }))
    .optional(),
});

export type CalibrateSettings = z.output<typeof calibrateSettings>;
