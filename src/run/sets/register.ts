import { MM_PER_INCH } from '../../core/geometry.ts';
import type { AidDef } from '../../core/register/contract.ts';
import { aids } from '../../core/register/index.ts';
import { type RegisterTolerance, registerTolerance } from '../../core/register/tolerance.ts';
import { registerFacts } from '../../report/set/register.ts';
import type { SetReport } from '../../report/set/schema.ts';
import type { Division } from './division.ts';
import type { SeparateRequest } from './request.ts';

/** How true prints lie that are laid to marks with care; common practice. */
const WITH_CARE_MM = 0.3;
/** Nobody lays sheets worse. */
const TRIED_MM = 1;

/** How far plates may lie off: as the report says it, and as it was found. */
export interface JudgedRegister {
  readonly facts: NonNullable<SetReport['register']>;
  readonly tolerance: RegisterTolerance;
}

/**
 * How far plates may lie off, by the areas that they are to print: what the spot is allowed for, and grain inside an area,
 * is no gap. Areas are those of the print, so no stretch is in it. Null for plates of tones.
 */
export function toleranceOf(
  { areas, inks, layout }: Division,
  dpi: number,
  register: SeparateRequest['settings']['register'],
): JudgedRegister | null {
  if (!areas) return null;
  const aid: AidDef | null = register === 'none' ? null : aids[register];
  const asked = {
    aid: aid?.kind ?? null,
    trustedMm: aid?.achievableMm ?? WITH_CARE_MM,
    triedMm: TRIED_MM,
  };
  const pxPerMm = dpi / MM_PER_INCH;
  const tolerance = registerTolerance(areas, { pxPerMm, askedMm: asked.trustedMm, mostMm: TRIED_MM });
  const names = inks.map(({ name }) => name);
  return { facts: registerFacts(tolerance, asked, names, layout, 1 / pxPerMm), tolerance };
}
