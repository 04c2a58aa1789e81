import { complementRow, createBitmap } from '../bitmap.ts';
import { MM_PER_INCH, pxFor } from '../geometry.ts';
import type { Inset } from '../plate.ts';
import { drawTestPlate, type TintScreen } from './draw.ts';
import type { BoxMm, TestPlateLayout } from './layout.ts';
import { LINE_MM } from './parts.ts';

/** A layout seen from another corner. */
function seenFrom(layout: TestPlateLayout, dxMm: number, dyMm: number): TestPlateLayout {
  const moved = <Placed extends { xMm: number; yMm: number }>(placed: Placed): Placed => ({
    ...placed,
    xMm: placed.xMm - dxMm,
    yMm: placed.yMm - dyMm,
  });
  return {
    ...layout,
    fiducials: layout.fiducials.map(moved),
    patches: layout.patches.map(moved),
    labels: layout.labels.map(moved),
  };
}

/** Draws what of a layout lies in a box, as etch; beyond the box it is cut off. */
function insetOf(layout: TestPlateLayout, screen: TintScreen, { xMm, yMm, widthMm, heightMm }: BoxMm): Inset {
  const pxPerMm = layout.dpi / MM_PER_INCH;
  const [xPx, yPx] = [Math.floor(xMm * pxPerMm), Math.floor(yMm * pxPerMm)];
  const toPx = (mm: number, sizeMm: number): number =>
    Math.min(Math.ceil(mm * pxPerMm), pxFor(sizeMm, layout.dpi));
  const etch = createBitmap(
    toPx(xMm + widthMm, layout.widthMm) - xPx,
    toPx(yMm + heightMm, layout.heightMm) - yPx,
  );
  drawTestPlate(etch, seenFrom(layout, xPx / pxPerMm, yPx / pxPerMm), screen);
  if (screen.place.etchedSide === 'paper')
    for (let y = 0; y < etch.heightPx; y++) complementRow(etch.data, y * etch.strideBytes, etch.widthPx);
  return { xPx, yPx, etch };
}

/** The strip of a layout by `stripLayout`, with its labels, and its corner marks: what goes into the waste of a plate. */
export function stripInsets(layout: TestPlateLayout, screen: TintScreen): Inset[] {
  const { strip, fiducials, labels, patches } = layout;
  if (!strip) throw new Error('the layout has no control strip');
  const box = { ...strip, heightMm: strip.heightMm + (labels.length > 0 ? LINE_MM : 0) };
  // each mark alone, so that its inset holds nothing of the strip
  const marks = fiducials.map((fiducial) => {
    const { xMm, yMm, diameterMm } = fiducial;
    const corner = { xMm: xMm - diameterMm / 2, yMm: yMm - diameterMm / 2 };
    return insetOf({ ...layout, fiducials: [fiducial], patches: [], labels: [] }, screen, {
      ...corner,
      widthMm: diameterMm,
      heightMm: diameterMm,
    });
  });
  return [insetOf({ ...layout, fiducials: [], patches, labels }, screen, box), ...marks];
}
