import { MM_PER_INCH } from '../geometry.ts';
import type { TestFeature, TestPlateLayout } from '../testplate/layout.ts';
import { boxPx } from '../testplate/raster.ts';
import type { ShapeReading } from './shapes.ts';

/** A limit found between two sizes of a test plate. */
export interface Limit {
  readonly mm: number;
  /** Half the step to the next size, which did not hold; where the plate has none, half the way to nought, or nought. */
  readonly plusMinusMm: number;
}

export interface Limits {
  readonly minWallMm: Limit | null;
  readonly minLandMm: Limit | null;
  readonly minGapMm: Limit | null;
  readonly minMarkMm: Limit | null;
  readonly maxPoolMm: Limit | null;
}

/** Which shapes a limit is read from. */
const READ_FROM: Readonly<Record<keyof Limits, Pick<TestFeature, 'zone' | 'side'>>> = {
  minWallMm: { zone: 'bars', side: 'kept' },
  minLandMm: { zone: 'dots', side: 'kept' },
  minGapMm: { zone: 'bars', side: 'etched' },
  minMarkMm: { zone: 'dots', side: 'etched' },
  maxPoolMm: { zone: 'pools', side: 'etched' },
};

/** Share of the shapes of one size that must hold, over all directions and proofs. */
const LEAST_HOLDING = 0.8;

/** Sizes with whether they hold, smallest first. */
function bySize(shapes: readonly ShapeReading[]): { mm: number; holds: boolean }[] {
  const counts = new Map<number, { all: number; holding: number }>();
  for (const { feature, holds } of shapes) {
    const count = counts.get(feature.sizeMm) ?? { all: 0, holding: 0 };
    count.all++;
    if (holds) count.holding++;
    counts.set(feature.sizeMm, count);
  }
  return [...counts]
    .sort(([a], [b]) => a - b)
    .map(([mm, { all, holding }]) => ({ mm, holds: holding >= LEAST_HOLDING * all }));
}

/** The last size, in the order given, before the first that does not hold. */
function lastHolding(sizes: readonly { mm: number; holds: boolean }[], beyond: number | null): Limit | null {
  const failing = sizes.findIndex(({ holds }) => !holds);
  const last = sizes[failing < 0 ? sizes.length - 1 : failing - 1];
  if (!last) return null;
  const next = failing < 0 ? beyond : sizes[failing]!.mm;
  return { mm: last.mm, plusMinusMm: next === null ? 0 : Math.abs(last.mm - next) / 2 };
}

/** The smallest sizes from which on all hold, and the widest pool up to which all do; null where there was nothing to see, or none held. */
export function limitsOf(shapes: readonly ShapeReading[]): Limits {
  const sizesFor = (limit: keyof Limits) => {
    const { zone, side } = READ_FROM[limit];
    return bySize(shapes.filter(({ feature }) => feature.zone === zone && feature.side === side));
  };
  const smallest = (limit: keyof Limits): Limit | null => lastHolding(sizesFor(limit).reverse(), 0);
  return {
    minWallMm: smallest('minWallMm'),
    minLandMm: smallest('minLandMm'),
    minGapMm: smallest('minGapMm'),
    minMarkMm: smallest('minMarkMm'),
    maxPoolMm: lastHolding(sizesFor('maxPoolMm'), null),
  };
}

/** Bars from this width on are measured for the spot; narrower ones may have lost some of themselves. */
const WIDE_MM = 0.3;

/** What a scanner's own edges leave uncertain, in mm, however many bars there are (from memory). */
const LEAST_UNCERTAIN_MM = 0.005;

/** Width of a bar as it was drawn, in whole pixels; leaning ones take part of them, and even out. */
function drawnMm(feature: TestFeature, pxPerMm: number): number {
  const { fromX, toX, fromY, toY } = boxPx(feature, pxPerMm);
  if (feature.direction === 'x') return (toY - fromY) / pxPerMm;
  return feature.direction === 'y' ? (toX - fromX) / pxPerMm : feature.sizeMm;
}

/**
 * Width of the mark of one firing, as it prints: what etched bars gained, or kept ones lost, over their file. `scale`
 * is true mm to a mm on the plate as the layout has it. Null where no wide bar holds.
 */
export function spotOf(
  shapes: readonly ShapeReading[],
  { dpi }: Pick<TestPlateLayout, 'dpi'>,
  scale: number,
): Limit | null {
  const gains = shapes.flatMap(({ feature, holds, widthMm }) => {
    if (widthMm === null || !holds || feature.sizeMm < WIDE_MM) return [];
    const gain = widthMm * scale - drawnMm(feature, dpi / MM_PER_INCH);
    return [feature.side === 'etched' ? gain : -gain];
  });
  if (gains.length < 2) return null;
  const mean = gains.reduce((sum, gain) => sum + gain, 0) / gains.length;
  const squares = gains.reduce((sum, gain) => sum + (gain - mean) ** 2, 0);
  // A bar of a test plate is as many pixels as it has room for, whatever its tints allow for: marks of one pitch add nothing
  const pitchMm = MM_PER_INCH / dpi;
  const error = Math.sqrt(squares / (gains.length - 1) / gains.length);
  return { mm: pitchMm + mean, plusMinusMm: Math.max(LEAST_UNCERTAIN_MM, error) };
}
