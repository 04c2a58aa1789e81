/** Millimetres in one inch, exactly (international inch, 1959). */
export const MM_PER_INCH = 25.4;

/** Whole pixels nearest to a length in mm at so many dpi; at most half a pixel away from it. */
export const pxFor = (lengthMm: number, dpi: number): number => Math.round((lengthMm * dpi) / MM_PER_INCH);

/** The length, in mm, that so many pixels really have at so many dpi. */
export const mmFor = (px: number, dpi: number): number => (px * MM_PER_INCH) / dpi;

/** How the picture meets the space it is given; the names and meanings of CSS object-fit. */
export type Fit = 'contain' | 'cover' | 'fill';

/**
 * How one axis of the picture is sampled: output pixel i has its centre at source coordinate
 * startPx + (i + 0.5) · stepPx − 0.5, where source pixel k has its centre at k.
 */
export interface AxisMap {
  readonly sourcePx: number;
  readonly outPx: number;
  /** Source coordinate of the output's first edge, counted from the source's first edge. */
  readonly startPx: number;
  /** Source pixels to one output pixel. */
  readonly stepPx: number;
}

/** Pixels of a picture as it is seen upright, and the resolution that its file states. */
export interface PictureSize {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixels per inch that the file states in absolute units; null where it states none. */
  readonly ppiX: number | null;
  readonly ppiY: number | null;
}

/** What is asked of a plate, border included; of a side that is null the picture’s shape decides. */
export interface PlateWish {
  readonly widthMm: number | null;
  readonly heightMm: number | null;
  readonly dpi: number;
  readonly borderMm: number;
  readonly fit: Fit;
}

/** A plate in whole pixels, and how the picture is sampled for it. */
export interface PlateLayout {
  readonly widthPx: number;
  readonly heightPx: number;
  /** The size asked for; the pixels differ from it by `residueMm`. */
  readonly widthMm: number;
  readonly heightMm: number;
  readonly residueMm: { readonly x: number; readonly y: number };
  /** Where the picture lies on the plate, print-reading, in plate pixels. */
  readonly box: {
    readonly xPx: number;
    readonly yPx: number;
    readonly widthPx: number;
    readonly heightPx: number;
  };
  readonly x: AxisMap;
  readonly y: AxisMap;
  /** Share of the picture cut off at each side, in per cent. */
  readonly cropPercent: {
    readonly left: number;
    readonly right: number;
    readonly top: number;
    readonly bottom: number;
  };
  /** Source pixels per inch of plate, the smaller of both axes. */
  readonly sourcePpi: number;
}

/** Width to height of the picture as it should look; unequal resolutions make its pixels oblong. */
function aspectOf(picture: PictureSize): number {
  const pixels = picture.widthPx / picture.heightPx;
  return picture.ppiX !== null && picture.ppiY !== null ? (pixels * picture.ppiY) / picture.ppiX : pixels;
}

/**
 * The plate's size in mm: as asked; one side alone keeps the picture's proportion inside the border;
 * no side at all is the picture's own size. Null when nothing says how large it should be. A side that follows is twice
 * the border or less where the border leaves nothing of the side given: `layoutPlate` refuses that.
 */
export function plateSizeMm(
  picture: PictureSize,
  wish: PlateWish,
): { widthMm: number; heightMm: number } | null {
  const { widthMm, heightMm, borderMm } = wish;
  const aspect = aspectOf(picture);
  if (widthMm !== null && heightMm !== null) return { widthMm, heightMm };
  if (widthMm !== null) return { widthMm, heightMm: (widthMm - 2 * borderMm) / aspect + 2 * borderMm };
  if (heightMm !== null) return { widthMm: (heightMm - 2 * borderMm) * aspect + 2 * borderMm, heightMm };
  if (picture.ppiX === null || picture.ppiY === null) return null;
  return { widthMm: mmFor(picture.widthPx, picture.ppiX), heightMm: mmFor(picture.heightPx, picture.ppiY) };
}

/** The largest box of the picture's proportion in an area; what rounding alone explains leaves no seam. */
function boxIn(areaW: number, areaH: number, aspect: number): { widthPx: number; heightPx: number } {
  if (Math.abs(areaW / aspect - areaH) < 1 || Math.abs(areaH * aspect - areaW) < 1)
    return { widthPx: areaW, heightPx: areaH };
  const widthPx = Math.min(areaW, areaH * aspect);
  return {
    widthPx: Math.max(1, Math.round(widthPx)),
    heightPx: Math.max(1, Math.min(areaH, Math.round(widthPx / aspect))),
  };
}

/**
 * Lays a picture (upright, turned as wished) on its plate. Pixels are round(mm · dpi / 25.4) on each axis
 * alone. Throws RangeError when the border leaves no pixel for the picture.
 */
export function layoutPlate(
  picture: PictureSize,
  wish: PlateWish,
  size: { widthMm: number; heightMm: number },
): PlateLayout {
  const { dpi, fit } = wish;
  const widthPx = pxFor(size.widthMm, dpi);
  const heightPx = pxFor(size.heightMm, dpi);
  const borderPx = pxFor(wish.borderMm, dpi);
  const areaW = widthPx - 2 * borderPx;
  const areaH = heightPx - 2 * borderPx;
  if (areaW < 1 || areaH < 1) throw new RangeError('no pixel is left for the picture');

  const aspect = aspectOf(picture);
  const { widthPx: boxW, heightPx: boxH } =
    fit === 'contain' ? boxIn(areaW, areaH, aspect) : { widthPx: areaW, heightPx: areaH };
  let shownX = 1;
  let shownY = 1;
  if (fit === 'cover') {
    const areaAspect = areaW / areaH;
    const whole = boxIn(areaW, areaH, aspect);
    // what rounding alone explains is no crop
    if (whole.heightPx < areaH) shownX = areaAspect / aspect;
    else if (whole.widthPx < areaW) shownY = aspect / areaAspect;
  }
  const axis = (sourcePx: number, outPx: number, shown: number): AxisMap => ({
    sourcePx,
    outPx,
    startPx: (sourcePx * (1 - shown)) / 2,
    stepPx: (sourcePx * shown) / outPx,
  });
  const x = axis(picture.widthPx, boxW, shownX);
  const y = axis(picture.heightPx, boxH, shownY);
  const cropX = (100 * (1 - shownX)) / 2;
  const cropY = (100 * (1 - shownY)) / 2;
  return {
    widthPx,
    heightPx,
    widthMm: size.widthMm,
    heightMm: size.heightMm,
    residueMm: { x: mmFor(widthPx, dpi) - size.widthMm, y: mmFor(heightPx, dpi) - size.heightMm },
    box: {
      xPx: borderPx + Math.floor((areaW - boxW) / 2),
      yPx: borderPx + Math.floor((areaH - boxH) / 2),
      widthPx: boxW,
      heightPx: boxH,
    },
    x,
    y,
    cropPercent: { left: cropX, right: cropX, top: cropY, bottom: cropY },
    sourcePpi: Math.min(x.stepPx, y.stepPx) * dpi,
  };
}
