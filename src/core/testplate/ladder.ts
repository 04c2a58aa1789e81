import { type Bitmap, createBitmap } from '../bitmap.ts';
import { MM_PER_INCH, pxFor } from '../geometry.ts';
import type { TestPlateLayout } from './layout.ts';
import { fillBox } from './raster.ts';

/** One further pass over a plate that is still on the bed: which areas it etches again. */
export interface LadderPass {
  /** 2 for the first one after the plate itself. */
  readonly pass: number;
  readonly areas: TestPlateLayout['ladder'];
}

/**
 * The passes after the plate's own, in order. The plate's file etches every area once; pass n etches those again that
 * are to have n passes or more, and nothing else.
 */
export function ladderPasses({ ladder }: Pick<TestPlateLayout, 'ladder'>): LadderPass[] {
  const most = Math.max(1, ...ladder.map(({ passes }) => passes));
  return Array.from({ length: most - 1 }, (_, i) => ({
    pass: i + 2,
    areas: ladder.filter(({ passes }) => passes >= i + 2),
  }));
}

/** What one further pass etches (1), print-reading, of the plate's size and so in register with it. */
export function passBits(layout: TestPlateLayout, { areas }: LadderPass, shared = false): Bitmap {
  const { widthMm, heightMm, dpi } = layout;
  const bitmap = createBitmap(pxFor(widthMm, dpi), pxFor(heightMm, dpi), shared);
  for (const area of areas) fillBox({ bitmap, pxPerMm: dpi / MM_PER_INCH }, area, 1);
  return bitmap;
}
