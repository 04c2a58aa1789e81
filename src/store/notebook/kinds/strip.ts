import * as z from 'zod';
import { defineEntryKind } from '../contract.ts';
import { runHead, sha256, share } from '../entry-parts.ts';
import { readingBrief, readingParts } from '../reading.ts';

const lightness = z.number().describe('CIE L*, bare paper 100');

const schema = z.strictObject({
  ...runHead,
  kind: z.literal('strip'),
  curve: z.strictObject({
    name: z.string(),
    sha256: sha256.nullable().describe('of the curve file; null where it was gone by then'),
    measuredOn: z.string().describe('day of the proof'),
  }),
  layoutId: z.string().describe('plate that the strip is on'),
  ...readingParts,
  isLikeRead: z.boolean().describe('curve and strip were both read by a wedge, or neither'),
  holds: z.boolean().describe('every patch is as light as on the day of the curve'),
  patches: z.array(
    z.strictObject({
      share: share.describe('ink tone in the file'),
      lightness,
      expected: lightness.describe('CIE L* that the curve has of it'),
    }),
  ),
});

export type StripEntry = z.output<typeof schema>;

/** The patch that lies furthest off, in L*; 0 for none. */
export const mostOff = (patches: StripEntry['patches']): number =>
  patches
    .map((patch) => patch.lightness - patch.expected)
    .reduce((most, off) => (Math.abs(off) > Math.abs(most) ? off : most), 0);

/** A control strip held against a curve. */
export const strip = defineEntryKind({
  kind: 'strip',
  called: 'a control strip',
  short: 'strip',
  unmade: 'drifted',
  schema,
  brief: readingBrief,
  did: ({ process, dpi, screen, layoutId, curve, scans, wedge }) => ({
    process,
    dpi,
    screen: screen.kind,
    ...screen.params,
    layoutId,
    curve: curve.name,
    measuredOn: curve.measuredOn,
    scans: scans.map(({ sha256: hash }) => hash.slice(0, 12)),
    wedge,
  }),
  came: ({ holds, patches }) => ({
    holds,
    mostOff: Number(mostOff(patches).toFixed(2)),
    ...Object.fromEntries(
      patches.map((patch) => [`L* of ${Math.round(patch.share * 100)} %`, patch.lightness]),
    ),
  }),
});
