import * as z from 'zod';
import { arcPoints, insetBox } from './arcs.ts';
import { defineOutline } from './contract.ts';
import { outlineInsetMm } from './settings.ts';

/** Corners of intaglio plates are rounded by 1 to 2 mm, so that they do not cut the blankets (common practice). */
const USUAL_RADIUS_MM = 2;

/** The plate with its corners rounded. */
export const rounded = defineOutline({
  kind: 'rounded',
  summary: 'the plate with rounded corners',
  params: z.strictObject({
    outlineInsetMm,
    outlineRadiusMm: z
      .number()
      .min(0.1)
      .max(2500)
      .describe('radius of the corners; at most half the shorter side')
      .meta({ unit: 'mm' })
      .default(USUAL_RADIUS_MM),
  }),
  traced: false,
  loops({ outlineInsetMm: insetMm, outlineRadiusMm }, box) {
    const { xMm, yMm, widthMm, heightMm } = insetBox(box, insetMm);
    const r = outlineRadiusMm;
    if (2 * r > Math.min(widthMm, heightMm) + 1e-9)
      throw new RangeError(`corners of ${r} mm do not fit ${widthMm} × ${heightMm} mm`);
    const [right, bottom] = [xMm + widthMm, yMm + heightMm];
    const corner = (x: number, y: number, quarter: number) =>
      arcPoints({ x, y }, r, r, (quarter * Math.PI) / 2, ((quarter + 1) * Math.PI) / 2);
    return [
      [
        ...corner(right - r, bottom - r, 0),
        ...corner(xMm + r, bottom - r, 1),
        ...corner(xMm + r, yMm + r, 2),
        ...corner(right - r, yMm + r, 3),
      ],
    ];
  },
  mending: () => null,
});
