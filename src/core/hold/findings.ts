import type { Bitmap } from '../bitmap.ts';
import type { Box, Cluster, Worse } from './clusters.ts';
import type { HoldFinding, HoldNeed, HoldPlace } from './contract.ts';
import type { ThinSpot } from './thin.ts';
import type { Beam } from './widths.ts';
import type { PlateSide } from './words.ts';

/** All thin spots of one kind. */
export interface Tally {
  readonly clusters: readonly Cluster[];
  /** Thin pixels of each width, by whole pixels. */
  readonly byWidthPx: readonly number[];
}

/** What a measure is told of the plate. */
export interface HoldPlate extends Beam {
  readonly map: Bitmap;
  readonly sidePx: Readonly<Record<PlateSide, number>>;
  /** Thin features found so far, so that walls and dots of one limit are looked for once. */
  readonly thin: Map<string, Readonly<Record<ThinSpot['kind'], Tally>>>;
}

/** How one kind of need is looked for on a plate whose limit is `limitMm`. */
export type Measure = (plate: HoldPlate, need: HoldNeed, limitMm: number) => HoldFinding;

/** Pieces closer than this are one place to look at. */
export const NEAR_MM = 1;
const WORST = 5;

/** Worse of two widths where a least one is asked for. */
export const narrower: Worse = (a, b) => a < b;
/** Worse of two widths where a most one is asked for. */
export const wider: Worse = (a, b) => a > b;

/** What a plate without fault has. */
export const NOTHING_FOUND: HoldFinding = {
  worstMm: null,
  count: 0,
  areaMm2: 0,
  share: 0,
  places: [],
  byWidth: [],
};

/** How clusters of one measure are told. */
export interface Telling {
  readonly worse: Worse;
  /** How bad a cluster is, for choosing the worst five. */
  readonly weigh: (cluster: Cluster) => number;
  /** Turns the measure into millimetres. */
  readonly toMm: (px: number) => number;
  /** Pixels the share is taken of. */
  readonly ofPx: number;
}

const placeOf = ({ left, top, right, bottom }: Box, pitchMm: number): HoldPlace => ({
  xMm: left * pitchMm,
  yMm: top * pitchMm,
  widthMm: (right - left) * pitchMm,
  heightMm: (bottom - top) * pitchMm,
});

/** Sums clusters up and names the worst five. */
export function tell(clusters: readonly Cluster[], pitchMm: number, telling: Telling): HoldFinding {
  const [first] = clusters;
  if (first === undefined) return NOTHING_FOUND;
  const { worse, weigh, toMm, ofPx } = telling;
  const areaPx = clusters.reduce((sum, cluster) => sum + cluster.areaPx, 0);
  const worstPx = clusters.reduce(
    (worst, cluster) => (worse(cluster.worstPx, worst) ? cluster.worstPx : worst),
    first.worstPx,
  );
  const ordered = [...clusters].sort((a, b) => weigh(b) - weigh(a) || a.top - b.top || a.left - b.left);
  return {
    worstMm: toMm(worstPx),
    count: clusters.reduce((sum, cluster) => sum + cluster.count, 0),
    areaMm2: areaPx * pitchMm ** 2,
    share: areaPx / ofPx,
    places: ordered.slice(0, WORST).map((cluster) => placeOf(cluster, pitchMm)),
    byWidth: [],
  };
}
