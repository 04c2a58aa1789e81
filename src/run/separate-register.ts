import { MM_PER_INCH } from '../core/geometry.ts';
import { registerTolerance } from '../core/register/tolerance.ts';
import { registerFacts } from '../report/set-register.ts';
import type { SetReport } from '../report/set-schema.ts';
import type { Division } from './separate-division.ts';

/** How true prints lie that are laid to marks with care; common practice. */
const WITH_CARE_MM = 0.3;
/** Nobody lays sheets worse. */
const TRIED_MM = 1;

/**
 * How far plates may lie off, by the areas that they are to print: what the spot is allowed for, and grain inside an area,
 * is no gap. Null for plates of tones.
 */
export function toleranceOf({ areas, inks, layout }: Division, dpi: number): SetReport['register'] {
  if (!areas) return null;
  const asked = { aid: null, trustedMm: WITH_CARE_MM, triedMm: TRIED_MM };
  const pxPerMm = dpi / MM_PER_INCH;
  const wish = { pxPerMm, askedMm: asked.trustedMm, mostMm: TRIED_MM };
  const names = inks.map(({ name }) => name);
  return registerFacts(registerTolerance(areas, wish), asked, names, layout, 1 / pxPerMm);
}
