import * as z from 'zod';
import { defineEntryKind } from '../contract.ts';
import { runHead, sha256, share } from '../entry-parts.ts';
import { readingBrief, readingParts } from '../reading.ts';

const percent = z.number().min(0).max(100);

const schema = z.strictObject({
  ...runHead,
  kind: z.literal('calibration'),
  curve: z.strictObject({
    name: z.string(),
    sha256: sha256.describe('of the curve file'),
    measuredOn: z.string().describe('day of the proof'),
    knots: z.array(z.tuple([share, share])).describe('ink tone in the file, and share printed'),
  }),
  layoutId: z.string().describe('test plate that was printed'),
  ...readingParts,
  target: z.string(),
  whiteDensity: z.number(),
  solidDensity: z.number(),
  capPercent: percent,
  floorPercent: percent,
  limitsMm: z.record(z.string(), z.number().nullable()).describe('what held; null where it was not measured'),
  into: z.string().nullable().describe('workshop file that it was entered in; null for none'),
});

export type CalibrationEntry = z.output<typeof schema>;

/** A curve that was measured. */
export const calibration = defineEntryKind({
  kind: 'calibration',
  called: 'a measured curve',
  short: 'curve',
  unmade: 'refused',
  schema,
  brief: readingBrief,
  did: ({ process, dpi, screen, layoutId, curve, scans, wedge, target }) => ({
    process,
    dpi,
    screen: screen.kind,
    ...screen.params,
    layoutId,
    measuredOn: curve.measuredOn,
    scans: scans.map(({ sha256: hash }) => hash.slice(0, 12)),
    wedge,
    target,
  }),
  came: ({ curve, whiteDensity, solidDensity, capPercent, floorPercent, limitsMm }) => ({
    middle: curve.knots.find(([tone]) => tone >= 0.5)?.[1] ?? null,
    whiteDensity,
    solidDensity,
    capPercent,
    floorPercent,
    ...limitsMm,
  }),
});
