import * as z from 'zod';
import { insetBox } from './arcs.ts';
import { defineOutline } from './contract.ts';
import { outlineInsetMm } from './settings.ts';

/** The plate with its four corners. */
export const rectangle = defineOutline({
  kind: 'rectangle',
  summary: 'the plate itself, with square corners',
  params: z.strictObject({ outlineInsetMm }),
  traced: false,
  loops({ outlineInsetMm: insetMm }, box) {
    const { xMm, yMm, widthMm, heightMm } = insetBox(box, insetMm);
    return [
      [
        { x: xMm, y: yMm },
        { x: xMm + widthMm, y: yMm },
        { x: xMm + widthMm, y: yMm + heightMm },
        { x: xMm, y: yMm + heightMm },
      ],
    ];
  },
  mending: () => null,
});
