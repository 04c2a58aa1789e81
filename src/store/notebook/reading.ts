import * as z from 'zod';
import type { Brief } from './contract.ts';
import { sha256 } from './entry-parts.ts';

/** What every reading of a print leaves, whatever it was read for. */
export const readingParts = {
  process: z.string(),
  dpi: z.number(),
  screen: z.strictObject({ kind: z.string(), params: z.record(z.string(), z.unknown()) }),
  scans: z.array(z.strictObject({ name: z.string(), sha256 })),
  wedge: z.string().nullable().describe('wedge of known densities in the scans; null for none'),
};

interface Reading {
  readonly process: string;
  readonly dpi: number;
  readonly screen: { readonly kind: string; readonly params: Readonly<Record<string, unknown>> };
  readonly wedge: string | null;
  readonly curve: { readonly name: string; readonly measuredOn: string };
  readonly layoutId: string;
}

/** What lists, tables and searches know of a reading. */
export const readingBrief = ({ process, dpi, screen, curve, layoutId, wedge }: Reading): Brief => ({
  process,
  widthMm: null,
  heightMm: null,
  dpi,
  screen: screen.kind,
  rulingLpi: screen.params['rulingLpi'],
  settings: screen.params,
  picture: null,
  press: null,
  curve: curve.name,
  etched: null,
  predicted: null,
  passes: null,
  timeS: null,
  bitsSha256: null,
  words: [layoutId, curve.measuredOn, ...(wedge === null ? [] : [wedge])],
});
