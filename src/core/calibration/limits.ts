import { MM_PER_INCH } from '../geometry.ts';
import { mean } from '../mean.ts';
import { type Direction, linesAcross } from '../testplate/bar-lines.ts';
import type { TestFeature, TestPlateLayout } from '../testplate/layout.ts';
import { apartPx, spotOfReachPx } from './edge-reach.ts';
import type { ShapeReading } from './shapes.ts';

/** A length that was measured. */
export interface Measured {
  readonly mm: number;
  readonly plusMinusMm: number;
}

/** A limit found between two sizes of a test plate: uncertain by half the step to the next, which did not hold. */
export interface Limit extends Measured {
  /** Every size of the plate held: the limit lies beyond the last, by half the way to nought, or no one knows how far. */
  readonly atEnd: boolean;
}

/** What the shapes of a test plate held, by the names of a sheet’s limits; null where it has no such shapes or none can be read. */
export interface Limits {
  readonly minWallMm: Limit | null;
  readonly minLandMm: Limit | null;
  readonly minGapMm: Limit | null;
  readonly minMarkMm: Limit | null;
  readonly maxPoolMm: Limit | null;
  readonly maxGapMm: Limit | null;
}

/** Which shapes a limit is read from. */
const READ_FROM: Readonly<Record<keyof Limits, Pick<TestFeature, 'zone' | 'side'>>> = {
  minWallMm: { zone: 'bars', side: 'kept' },
  minLandMm: { zone: 'dots', side: 'kept' },
  minGapMm: { zone: 'bars', side: 'etched' },
  minMarkMm: { zone: 'dots', side: 'etched' },
  maxPoolMm: { zone: 'pools', side: 'etched' },
  maxGapMm: { zone: 'gaps', side: 'etched' },
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
  const atEnd = failing < 0;
  const last = sizes[atEnd ? sizes.length - 1 : failing - 1];
  if (!last) return null;
  const next = atEnd ? beyond : sizes[failing]!.mm;
  return { mm: last.mm, plusMinusMm: next === null ? 0 : Math.abs(last.mm - next) / 2, atEnd };
}

/** Pools from the narrowest that holds: what is narrower has its middle lost in the blur of the scan, not wiped out. */
function seenPools(
  sizes: readonly { mm: number; holds: boolean }[],
): readonly { mm: number; holds: boolean }[] {
  const first = sizes.findIndex(({ holds }) => holds);
  return first < 0 ? [] : sizes.slice(first);
}

/** The smallest sizes from which on all hold, and the widest pool and well up to which all do; null where there was nothing to see, or none held. */
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
    maxPoolMm: lastHolding(seenPools(sizesFor('maxPoolMm')), null),
    maxGapMm: lastHolding(sizesFor('maxGapMm'), null),
  };
}

/** Bars from this width on are measured for the spot; narrower ones may have lost some of themselves. */
const WIDE_MM = 0.3;

/** What a scanner's own edges leave uncertain, in mm, however many bars there are (from memory). */
const LEAST_UNCERTAIN_MM = 0.005;

/** How far the etched side reaches beyond the middles of its outermost firings at a bar's two edges, in pixels. */
function reachPx(
  { feature, widthMm }: ShapeReading,
  direction: Direction,
  pxPerMm: number,
  scale: number,
): number {
  const lines = linesAcross(feature, direction, pxPerMm);
  const widthPx = widthMm! * scale * pxPerMm;
  const apart = apartPx(direction);
  return (feature.side === 'etched' ? widthPx - (lines - 1) * apart : (lines + 1) * apart - widthPx) / 2;
}

/**
 * Width of the mark of one firing as it prints, from how far the edges of etched areas reach: a disc whose scalloped
 * edges, or a stadium's for a beam that sweeps, lie there on average. Ink that was squashed or spread is in it, so it is
 * the beam's own only where ink stays within its edges. Bars of each direction and side are one reading: what they have
 * in common no number of them takes away. `scale` is true mm to a mm on the plate as the layout has it. Null where
 * fewer than two kinds of bars hold.
 */
export function spotOf(
  shapes: readonly ShapeReading[],
  { dpi, beam }: Pick<TestPlateLayout, 'dpi' | 'beam'>,
  scale: number,
): Measured | null {
  const pxPerMm = dpi / MM_PER_INCH;
  const kinds = new Map<string, { direction: Direction; reaches: number[] }>();
  for (const shape of shapes) {
    const { direction, side, sizeMm } = shape.feature;
    if (shape.widthMm === null || direction === null || !shape.holds || sizeMm < WIDE_MM) continue;
    const kind = kinds.get(`${direction} ${side}`) ?? { direction, reaches: [] };
    kind.reaches.push(reachPx(shape, direction, pxPerMm, scale));
    kinds.set(`${direction} ${side}`, kind);
  }
  const spots = [...kinds.values()].map(
    ({ direction, reaches }) => spotOfReachPx(mean(reaches), direction, beam ?? 'pulse') / pxPerMm,
  );
  if (spots.length < 2) return null;
  const mm = mean(spots);
  const squares = spots.reduce((sum, spot) => sum + (spot - mm) ** 2, 0);
  const error = Math.sqrt(squares / (spots.length - 1) / spots.length);
  return mm > 0 ? { mm, plusMinusMm: Math.max(LEAST_UNCERTAIN_MM, error) } : null;
}
