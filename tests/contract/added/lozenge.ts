import * as z from 'zod';
import { insetBox } from '../../../src/core/outlines/arcs.ts';
import { defineOutline } from '../../../src/core/outlines/contract.ts';
import { outlineInsetMm } from '../../../src/core/outlines/settings.ts';

/** The plate standing on its point: straight from the middle of each side to the next. */
export const lozenge = defineOutline({
  kind: 'lozenge',
  summary: 'a lozenge through the middles of the sides',
  params: z.strictObject({ outlineInsetMm }),
  traced: false,
  loops({ outlineInsetMm: insetMm }, box) {
    const { xMm, yMm, widthMm, heightMm } = insetBox(box, insetMm);
    const [x, y] = [xMm + widthMm / 2, yMm + heightMm / 2];
    return [
      [
        { x, y: yMm },
        { x: xMm + widthMm, y },
        { x, y: yMm + heightMm },
        { x: xMm, y },
      ],
    ];
  },
  mending: () => null,
});
