import { type Bitmap, createBitmap } from '../bitmap.ts';
import { type AxisMap, mmFor, type PlateLayout, pxFor } from '../geometry.ts';

/**
 * How much narrower a print comes out than its plate, as a share of the plate, along each axis of the print: 0.0046 is
 * 0.46 %. Under 0 where it comes out wider.
 */
export interface Stretch {
  readonly x: number;
  readonly y: number;
}

/**
 * Length on the plate for a length wanted on the finished print: wanted / (1 − s). Adding s of the wanted length falls
 * short, since what is added shrinks too.
 */
export const stretchedMm = (wantedMm: number, share: number): number => wantedMm / (1 - share);

/** And back: what a length on the plate comes to on the print. */
export const printedMm = (plateMm: number, share: number): number => plateMm * (1 - share);

/** The same size: nothing is damp. */
export const NO_STRETCH: Stretch = { x: 0, y: 0 };

/**
 * Stretch from two verniers: how many mm nearer they lie to each other than they should, and how far apart they were
 * drawn. 1.1 mm short over 240 mm is 0.46 %.
 */
export const stretchFromReading = (shortMm: number, overMm: number): number => shortMm / overMm;

/**
 * Stretch for a plate printed dry over prints that came out narrower by `share` and are not to be etched anew: it has
 * to be as much smaller as they are, wanted · (1 − s).
 */
export const stretchToFollow = (share: number): number => -share / (1 - share);

/** One axis of a plate: where its picture begins and ends, in pixels. */
interface Axis {
  readonly atPx: number;
  readonly lengthPx: number;
  readonly platePx: number;
  readonly map: AxisMap;
}

function stretchedAxis({ atPx, lengthPx, platePx, map }: Axis, share: number, newPlatePx: number) {
  const from = Math.round(stretchedMm(atPx, share));
  const endPx = atPx + lengthPx;
  // the size of the plate was rounded from mm: a picture without a border ends with it
  const to = endPx === platePx ? newPlatePx : Math.min(newPlatePx, Math.round(stretchedMm(endPx, share)));
  const outPx = Math.max(1, to - from);
  return { from, map: { ...map, outPx, stepPx: (map.stepPx * lengthPx) / outPx } };
}

/**
 * A plate laid out as the print is wanted, made so much larger that the print comes out so. Both edges of the picture
 * are rounded to pixels for themselves: with the stretch undone, none of it lies more than a pixel from where it was.
 */
export function stretchedLayout(layout: PlateLayout, stretch: Stretch, dpi: number): PlateLayout {
  const { box } = layout;
  const widthMm = stretchedMm(layout.widthMm, stretch.x);
  const heightMm = stretchedMm(layout.heightMm, stretch.y);
  const widthPx = pxFor(widthMm, dpi);
  const heightPx = pxFor(heightMm, dpi);
  const across = { atPx: box.xPx, lengthPx: box.widthPx, platePx: layout.widthPx, map: layout.x };
  const down = { atPx: box.yPx, lengthPx: box.heightPx, platePx: layout.heightPx, map: layout.y };
  const x = stretchedAxis(across, stretch.x, widthPx);
  const y = stretchedAxis(down, stretch.y, heightPx);
  return {
    ...layout,
    widthPx,
    heightPx,
    widthMm,
    heightMm,
    residueMm: { x: mmFor(widthPx, dpi) - widthMm, y: mmFor(heightPx, dpi) - heightMm },
    box: { xPx: x.from, yPx: y.from, widthPx: x.map.outPx, heightPx: y.map.outPx },
    x: x.map,
    y: y.map,
    sourcePpi: Math.min(x.map.stepPx, y.map.stepPx) * dpi,
  };
}

/** Where each pixel of a stretched row is taken from, by its middle. */
const sourcesOf = (fromPx: number, toPx: number): Int32Array =>
  Int32Array.from({ length: toPx }, (_, i) => Math.min(fromPx - 1, Math.floor(((i + 0.5) * fromPx) / toPx)));

/** Areas stretched to a size: each pixel is that of the nearest place, so that plates which share a border still do. */
export function stretchedBits(areas: Bitmap, widthPx: number, heightPx: number): Bitmap {
  const out = createBitmap(widthPx, heightPx);
  const columns = sourcesOf(areas.widthPx, widthPx);
  const rows = sourcesOf(areas.heightPx, heightPx);
  const { data, strideBytes } = areas;
  for (let y = 0; y < heightPx; y++) {
    const to = y * out.strideBytes;
    if (y > 0 && rows[y] === rows[y - 1]) {
      out.data.copyWithin(to, to - out.strideBytes, to);
      continue;
    }
    const from = rows[y]! * strideBytes;
    for (let x = 0; x < widthPx; x++) {
      const source = columns[x]!;
      if (data[from + (source >> 3)]! & (0x80 >> (source & 7)))
        out.data[to + (x >> 3)] = out.data[to + (x >> 3)]! | (0x80 >> (x & 7));
    }
  }
  return out;
}
