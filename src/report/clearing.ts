import type { ClearedGap } from '../core/clearing/gaps.ts';
import type { ClearingStep } from '../core/clearing/plan.ts';
import type { Clearing } from '../job/clearing.ts';
import type { Depth } from '../job/hold-limits.ts';
import type { Report } from './schema.ts';
import { tidy } from './tidy.ts';

/** One clearing plate as it was drawn. */
export interface ClearingPlate {
  readonly step: ClearingStep;
  /** Its first file; null where none is written. */
  readonly file: string | null;
  /** Share of it that is fired. */
  readonly etched: number;
  readonly perPassS: number;
  readonly bitsSha256: string;
  /** The gaps that need it. */
  readonly covered: readonly ClearedGap[];
}

/** A relief with its clearing plates, and what came of it. */
export interface Cleared {
  readonly clearing: Clearing;
  /** First file of the plate itself; null where none is written. */
  readonly fineFile: string | null;
  readonly plates: readonly ClearingPlate[];
  /** Of a clearing plate; 0 × 0 where there is none. */
  readonly size: {
    readonly widthPx: number;
    readonly heightPx: number;
    readonly residueMm: { readonly x: number; readonly y: number };
  };
  /** Gaps that the plate's own passes leave too shallow, the widest first, print-reading. */
  readonly gaps: readonly ClearedGap[];
  /** What the same depth takes in passes of the whole plate. */
  readonly withoutS: number;
}

type Passes = NonNullable<Report['passes']>;

/** Gaps that are told with their place. */
const TOLD_GAPS = 10;

/** True where a gap stays shallower than it needs, though some depth would be enough. */
export const staysShallow = ({ neededMm, reachedMm }: ClearedGap): boolean => reachedMm < neededMm - 1e-9;

/** How deep the ground is where every clearing plate went over it. */
const deepestMm = ({ clearing, plates }: Cleared): number =>
  plates.at(-1)?.step.toDepthMm ?? clearing.plan.finePasses * clearing.finePassMm;

/** True where a gap needs more than all passes together give: told as a floor that prints. */
export const isTooDeep = ({ neededMm }: ClearedGap, cleared: Cleared): boolean =>
  neededMm > deepestMm(cleared) + 1e-9;

const finite = (mm: number): number | null => (Number.isFinite(mm) ? tidy(mm) : null);

const deepestOf = (gaps: readonly ClearedGap[]): number =>
  gaps.reduce((most, { neededMm }) => Math.max(most, neededMm), 0);

/** How deep a cleared relief goes, and in how many passes: those of its own and of its clearing plates. */
export function depthCleared({ clearing, plates }: Cleared): Depth {
  const passes = plates.reduce((sum, { step }) => sum + step.passes, clearing.plan.finePasses);
  return { ...clearing.depth, passes, stated: true };
}

/** The passes one after the other, as they are run. */
export function planOf(
  { clearing, fineFile, plates }: Cleared,
  dpi: number,
  perPassS: number,
): Passes['plan'] {
  const fine = { dpi, file: fineFile, timeS: tidy(perPassS) };
  return [
    ...Array.from({ length: clearing.plan.finePasses }, () => fine),
    ...plates.flatMap(({ step, file, perPassS: timeS }) =>
      Array.from({ length: step.passes }, () => ({ dpi: clearing.dpi, file, timeS: tidy(timeS) })),
    ),
  ];
}

/** What a report says of its clearing plates. */
export function clearingSection(cleared: Cleared, totalS: number): NonNullable<Passes['clearing']> {
  const { clearing, plates, size, gaps, withoutS } = cleared;
  const { ratio, dpi, clearPassMm, clearPassGiven, plan } = clearing;
  return {
    finePasses: plan.finePasses,
    depthPerPassMm: tidy(clearPassMm),
    basis: clearPassGiven ? 'given' : 'as-the-plate',
    dpi,
    ratio,
    widthPx: size.widthPx,
    heightPx: size.heightPx,
    residueMm: { x: tidy(size.residueMm.x), y: tidy(size.residueMm.y) },
    plates: plates.map(({ step, file, etched, perPassS, bitsSha256, covered }) => ({
      file,
      passes: step.passes,
      insetMm: tidy(step.insetMm),
      gapsOverMm: tidy(step.gapsOverMm),
      gaps: covered.length,
      neededMm: finite(deepestOf(covered)),
      reachedMm: tidy(step.toDepthMm),
      etched: tidy(etched),
      timeS: tidy(step.passes * perPassS),
      bitsSha256,
    })),
    gaps: {
      count: gaps.length,
      shallow: gaps.filter(staysShallow).length,
      places: gaps.slice(0, TOLD_GAPS).map(({ xMm, yMm, widthMm, neededMm, reachedMm }) => ({
        xMm: tidy(xMm),
        yMm: tidy(yMm),
        widthMm: tidy(widthMm),
        neededMm: finite(neededMm),
        reachedMm: tidy(reachedMm),
      })),
    },
    withoutS: tidy(withoutS),
    savedS: tidy(withoutS - totalS),
  };
}
