import * as z from 'zod';
import { defineOutline } from './contract.ts';

/** Turns the line by no less than a thick beam can follow, and keeps slivers from breaking off; from memory. */
const USUAL_RADIUS_MM = 0.5;
/** About the thickness of the sheets that are cut most; from memory. */
const USUAL_BRIDGE_MM = 2;

/** Whatever shape the transparency of the picture has, or a mask. */
export const shape = defineOutline({
  kind: 'shape',
  summary: 'an irregular shape: where the picture is opaque, or where a mask is dark; holes too',
  params: z.strictObject({
    outlineRimMm: z
      .number()
      .min(0)
      .max(100)
      .describe('rim left around the shape')
      .meta({ unit: 'mm' })
      .default(0),
    minRadiusMm: z
      .number()
      .min(0)
      .max(50)
      .describe('smallest radius that the line turns by; 0 keeps sharp corners')
      .meta({ unit: 'mm' })
      .default(USUAL_RADIUS_MM),
    minBridgeMm: z
      .number()
      .min(0)
      .max(50)
      .describe('narrowest neck between two parts; narrower ones are made so wide, and 0 leaves them')
      .meta({ unit: 'mm' })
      .default(USUAL_BRIDGE_MM),
  }),
  traced: true,
  loops: (_params, _box, traced) => traced,
  mending: ({ outlineRimMm, minRadiusMm, minBridgeMm }) => ({
    rimMm: outlineRimMm,
    minRadiusMm,
    minBridgeMm,
  }),
});
