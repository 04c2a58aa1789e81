import type { TestPatch, TestPlateLayout } from '../testplate/layout.ts';
import type { Homography } from './homography.ts';
import type { Paper } from './paper.ts';
import { crossing, profile } from './profile.ts';
import type { GreyScan } from './scan.ts';

/** Patches this dark stand out whole; the edges of lighter ones are lost among the cells of a coarse screen. */
const DARK = 0.97;

/** How far outside a patch its edges are looked for. */
const AROUND_MM = 1.4;

const STEP_MM = 0.1;

/** Light of the outside, as a share of the paper's, from which an edge counts: against a coarse tint it lies anywhere in a cell. */
const LEAST_LIGHT = 0.75;

/** How far the middle between two edges lies from a patch's own; null where one is missing. */
function offAlong(
  scan: GreyScan,
  h: Homography,
  paper: Paper,
  patch: TestPatch,
  axis: 'x' | 'y',
): number | null {
  const [sideMm, otherMm] = axis === 'x' ? [patch.widthMm, patch.heightMm] : [patch.heightMm, patch.widthMm];
  const lengthMm = sideMm + 2 * AROUND_MM;
  const count = Math.round(lengthMm / STEP_MM);
  const light = profile(
    scan,
    h,
    {
      xMm: patch.xMm + patch.widthMm / 2,
      yMm: patch.yMm + patch.heightMm / 2,
      along: axis === 'x' ? [1, 0] : [0, 1],
      lengthMm,
      widthMm: 0.6 * otherMm,
    },
    count,
    4,
  );
  const inside = light[count >> 1]!;
  const brightest = (from: number, to: number): number =>
    light.slice(from, to).reduce((a, b) => Math.max(a, b));
  const reach = Math.round((2 * AROUND_MM) / STEP_MM);
  const [left, right] = [brightest(0, reach), brightest(count - reach, count)];
  const bare = paper.lightAt(patch.xMm + patch.widthMm / 2, patch.yMm + patch.heightMm / 2);
  if (Math.min(left, right) < LEAST_LIGHT * bare) return null;
  const start = crossing(light, (inside + left) / 2, count >> 1, -1);
  const end = crossing(light, (inside + right) / 2, count >> 1, 1);
  if (start === null || end === null) return null;
  return ((start + end) / 2 / count - 0.5) * lengthMm;
}

/**
 * How far dark patches lie from where the fiducials say, root of the mean square in mm: the fiducials cannot tell
 * this themselves, as four places always fit. Null where no patch has paper on both sides.
 */
export function misplacedMm(
  scan: GreyScan,
  h: Homography,
  paper: Paper,
  { patches }: TestPlateLayout,
): number | null {
  let [count, sum] = [0, 0];
  for (const patch of patches) {
    if (patch.share < DARK) continue;
    for (const axis of ['x', 'y'] as const) {
      const off = offAlong(scan, h, paper, patch, axis);
      if (off === null) continue;
      count++;
      sum += off * off;
    }
  }
  return count === 0 ? null : Math.sqrt(sum / count);
}
