// cairo, which draws, counts pixels in 15 bit.
const mostSidePx = 32767;

export interface DrawnSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** The size in whole pixels nearest to a wanted width, within what can be drawn. */
export function drawnSize(size: DrawnSize, wantedPx: number, maxPixels: number): DrawnSize {
  const aspect = size.heightPx / size.widthPx;
  const most = Math.min(mostSidePx, mostSidePx / aspect, Math.sqrt(maxPixels / aspect));
  const widthPx = Math.max(1, Math.min(Math.round(wantedPx), Math.floor(most)));
  return { widthPx, heightPx: Math.max(1, Math.floor(Math.min(mostSidePx, Math.round(widthPx * aspect)))) };
}
