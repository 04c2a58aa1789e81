import * as z from 'zod';
import { arcPoints, insetBox } from './arcs.ts';
import { defineOutline } from './contract.ts';
import { outlineInsetMm } from './settings.ts';

/** The largest ellipse of the plate; on a square plate a disc. */
export const ellipse = defineOutline({
  kind: 'ellipse',
  summary: 'the largest ellipse in the plate; a disc on a square one',
  params: z.strictObject({ outlineInsetMm }),
  traced: false,
  loops({ outlineInsetMm: insetMm }, box) {
    const { xMm, yMm, widthMm, heightMm } = insetBox(box, insetMm);
    const [rx, ry] = [widthMm / 2, heightMm / 2];
    return [arcPoints({ x: xMm + rx, y: yMm + ry }, rx, ry, 0, 2 * Math.PI).slice(0, -1)];
  },
  mending: () => null,
});
