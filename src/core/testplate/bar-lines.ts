import type { TestFeature } from './layout.ts';
import { boxPx } from './raster.ts';

/** Which way bars run: along x, along y, or at 45°. */
export type Direction = NonNullable<TestFeature['direction']>;

/** How many lines of firings across a bar was drawn, or would have been where it was left out. */
export function linesAcross(feature: TestFeature, direction: Direction, pxPerMm: number): number {
  const { fromX, toX, fromY, toY } = boxPx(feature, pxPerMm);
  if (direction === 'x') return toY - fromY;
  if (direction === 'y') return toX - fromX;
  // every row of a leaning bar is as long as its first
  const down = (fromY + 0.5) / pxPerMm - feature.yMm;
  const first = { ...feature, xMm: feature.xMm + feature.heightMm - down };
  const span = boxPx({ ...first, widthMm: feature.sizeMm * Math.SQRT2 }, pxPerMm);
  return span.toX - span.fromX;
}
