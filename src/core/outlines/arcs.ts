import type { BoxMm, PointMm } from './contract.ts';

/** Chords stay within this of their curve, which is below what any carriage resolves. */
const CHORD_ERROR_MM = 0.0005;
/** Longer edges count as drawn straight, so no chord may be as long. */
const LONGEST_CHORD_MM = 1;

/** Angle of a chord that keeps to both limits on a circle. */
function chordAngle(radiusMm: number): number {
  if (radiusMm <= CHORD_ERROR_MM) return Math.PI / 2;
  return Math.min(2 * Math.acos(1 - CHORD_ERROR_MM / radiusMm), LONGEST_CHORD_MM / radiusMm, Math.PI / 8);
}

/** A quarter or more of an ellipse as points, both ends included; half axes in mm, angles in radians from the x axis, y down. */
export function arcPoints(
  centre: PointMm,
  rx: number,
  ry: number,
  fromRad: number,
  toRad: number,
): PointMm[] {
  // equal steps of the angle: nowhere is a chord longer, or its arc higher, than on the circle around the ellipse
  const angle = chordAngle(Math.max(rx, ry));
  const steps = Math.max(1, Math.ceil(Math.abs(toRad - fromRad) / angle));
  return Array.from({ length: steps + 1 }, (_, i) => {
    const at = fromRad + ((toRad - fromRad) * i) / steps;
    return { x: centre.x + rx * Math.cos(at), y: centre.y + ry * Math.sin(at) };
  });
}

/** A box drawn in by so much on every side. RangeError where nothing of it is left. */
export function insetBox(box: BoxMm, mm: number): BoxMm {
  const widthMm = box.widthMm - 2 * mm;
  const heightMm = box.heightMm - 2 * mm;
  if (!(widthMm > 0 && heightMm > 0))
    throw new RangeError(`an inset of ${mm} mm leaves nothing of the plate`);
  return { xMm: box.xMm + mm, yMm: box.yMm + mm, widthMm, heightMm };
}
