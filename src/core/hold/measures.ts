import type { Bitmap } from '../bitmap.ts';
import type { HoldCheck, HoldNeed, HoldPlace } from './check.ts';
import { type Box, type Cluster, createClusterer, type Worse } from './clusters.ts';
import { findEdgeMarks, keptStrips } from './edge.ts';
import { findWide } from './inscribed.ts';
import { findMerged } from './merged.ts';
import { findThin, type ThinSpot } from './thin.ts';
import { type Beam, holdsFromPx, widthMm, widthPx } from './widths.ts';
import type { PlateSide } from './words.ts';

/** What a measure is told. */
export interface HoldPlate extends Beam {
  readonly map: Bitmap;
  readonly sidePx: Readonly<Record<PlateSide, number>>;
  /** Thin features found so far, so that walls and dots of one limit are looked for once. */
  readonly thin: Map<string, Readonly<Record<ThinSpot['kind'], Tally>>>;
}

type Found = Pick<HoldCheck, 'worstMm' | 'count' | 'areaMm2' | 'places' | 'share' | 'byWidth'>;
type Measure = (plate: HoldPlate, need: HoldNeed, limitMm: number) => Found;

/** All thin spots of one kind. */
interface Tally {
  readonly clusters: readonly Cluster[];
  /** Thin pixels of each width, by whole pixels. */
  readonly byWidthPx: readonly number[];
}

/** Pieces closer than this are one place to look at. */
const NEAR_MM = 1;
const WORST = 5;

const narrower: Worse = (a, b) => a < b;

/** The worst five of what was found; `weigh` says how bad one is, `toMm` turns its measure into millimetres. */
function summed(
  plate: HoldPlate,
  side: PlateSide,
  clusters: readonly Cluster[],
  worse: Worse,
  weigh: (cluster: Cluster) => number,
  toMm: (px: number) => number,
): Found {
  const areaPx = clusters.reduce((sum, cluster) => sum + cluster.areaPx, 0);
  const worstPx = clusters.reduce<number | null>(
    (worst, cluster) => (worst === null || worse(cluster.worstPx, worst) ? cluster.worstPx : worst),
    null,
  );
  const ordered = [...clusters].sort((a, b) => weigh(b) - weigh(a) || a.top - b.top || a.left - b.left);
  return {
    worstMm: worstPx === null ? null : toMm(worstPx),
    count: clusters.reduce((sum, cluster) => sum + cluster.count, 0),
    areaMm2: areaPx * plate.pitchMm ** 2,
    places: ordered.slice(0, WORST).map((cluster) => placeOf(cluster, plate.pitchMm)),
    share: plate.sidePx[side] === 0 ? 0 : areaPx / plate.sidePx[side],
    byWidth: [],
  };
}

const placeOf = ({ left, top, right, bottom }: Box, pitchMm: number): HoldPlace => ({
  xMm: left * pitchMm,
  yMm: top * pitchMm,
  widthMm: (right - left) * pitchMm,
  heightMm: (bottom - top) * pitchMm,
});

function thinOf(
  plate: HoldPlate,
  need: HoldNeed,
  limitPx: number,
): Readonly<Record<ThinSpot['kind'], Tally>> {
  const goesOnOutside = need.goesOnOutside ?? false;
  const key = `${need.side} ${limitPx} ${goesOnOutside}`;
  const known = plate.thin.get(key);
  if (known !== undefined) return known;
  const make = () => ({
    clusterer: createClusterer(plate.map, NEAR_MM / plate.pitchMm, narrower),
    byWidthPx: new Array<number>(limitPx + 1).fill(0),
  });
  const kinds = { wall: make(), dot: make() };
  if (limitPx > 1) {
    findThin(plate.map, { side: need.side, widthPx: limitPx, goesOnOutside }, (spot) => {
      const { clusterer, byWidthPx } = kinds[spot.kind];
      clusterer.add(spot, spot.count, spot.areaPx, spot.widthPx);
      byWidthPx[Math.round(spot.widthPx)]! += spot.areaPx;
    });
  }
  const tally = ({ clusterer, byWidthPx }: ReturnType<typeof make>): Tally => ({
    clusters: clusterer.clusters(),
    byWidthPx,
  });
  const found = { wall: tally(kinds.wall), dot: tally(kinds.dot) };
  plate.thin.set(key, found);
  return found;
}

const thin =
  (...kinds: readonly ThinSpot['kind'][]): Measure =>
  (plate, need, limitMm) => {
    const limitPx = holdsFromPx(need.side, limitMm, plate);
    const found = thinOf(plate, need, limitPx);
    const clusters = kinds.flatMap((kind) => found[kind].clusters);
    const weigh = ({ areaPx, worstPx }: Cluster): number => areaPx * (limitPx - worstPx);
    const result = summed(plate, need.side, clusters, narrower, weigh, (px) => widthMm(need.side, px, plate));
    const total = clusters.reduce((sum, { areaPx }) => sum + areaPx, 0);
    const byWidth = Array.from({ length: limitPx + 1 }, (_, px) => ({
      widthMm: widthMm(need.side, px, plate),
      share: kinds.reduce((sum, kind) => sum + found[kind].byWidthPx[px]!, 0) / (total || 1),
    })).filter(({ share }) => share > 0);
    return { ...result, byWidth };
  };

const wide: Measure = (plate, need, limitMm) => {
  if (limitMm === Infinity)
    return summed(
      plate,
      need.side,
      [],
      narrower,
      () => 0,
      (px) => px,
    );
  const circles = findWide(plate.map, need.side, widthPx(need.side, limitMm, plate)).map((circle) => {
    const radius = circle.diameterPx / 2;
    const [x, y] = [circle.x + 0.5, circle.y + 0.5];
    const box = { left: x - radius, top: y - radius, right: x + radius, bottom: y + radius };
    return { ...box, count: 1, areaPx: circle.areaPx, worstPx: circle.diameterPx };
  });
  const wider: Worse = (a, b) => a > b;
  return summed(
    plate,
    need.side,
    circles,
    wider,
    ({ worstPx }) => worstPx,
    (px) => widthMm(need.side, px, plate),
  );
};

const ring: Measure = (plate, need) => {
  const { widthPx: across, heightPx: down } = plate.map;
  const strips = keptStrips(plate.map).map(({ left, top, right, bottom, thickPx }) => {
    const areaPx = (right - left) * (bottom - top);
    return { left, top, right, bottom, count: 1, areaPx, worstPx: thickPx };
  });
  const wider: Worse = (a, b) => a > b;
  const result = summed(
    plate,
    need.side,
    strips,
    wider,
    ({ areaPx }) => areaPx,
    (px) => px * plate.pitchMm,
  );
  // corners belong to two strips; counted once here
  const inner = strips.reduce(
    (box, { left, right, top, bottom }) => ({
      left: left === 0 && right < across ? right : box.left,
      right: left > 0 ? left : box.right,
      top: top === 0 && bottom < down ? bottom : box.top,
      bottom: top > 0 ? top : box.bottom,
    }),
    { left: 0, right: across, top: 0, bottom: down },
  );
  const areaPx = across * down - (inner.right - inner.left) * (inner.bottom - inner.top);
  return { ...result, areaMm2: areaPx * plate.pitchMm ** 2, share: areaPx / (plate.sidePx.kept || 1) };
};

const keepOut: Measure = (plate, need, limitMm) => {
  const clusterer = createClusterer(plate.map, NEAR_MM / plate.pitchMm, narrower);
  findEdgeMarks(plate.map, need.side, Math.ceil(limitMm / plate.pitchMm - 1e-9), (mark) =>
    clusterer.add(mark, 1, mark.areaPx, mark.clearPx),
  );
  const weigh = ({ areaPx }: Cluster): number => areaPx;
  return summed(plate, need.side, clusterer.clusters(), narrower, weigh, (px) => px * plate.pitchMm);
};

const merged: Measure = (plate, need, limitMm) => {
  const fields = findMerged(plate.map, plate.spotMm / plate.pitchMm)
    .filter((field) => field.widthPx * plate.pitchMm > limitMm)
    .map(({ left, top, right, bottom, areaPx, widthPx: worstPx }) => {
      return { left, top, right, bottom, count: 1, areaPx, worstPx };
    });
  const wider: Worse = (a, b) => a > b;
  return summed(
    plate,
    need.side,
    fields,
    wider,
    ({ areaPx }) => areaPx,
    (px) => px * plate.pitchMm,
  );
};

/**
 * What can be measured. `walls`, `dots` and `thin` (both): narrower than the limit. `wide`: areas whose largest
 * circle is wider than the limit. `ring`: kept strips along the edge. `keepOut`: anything of the side nearer to
 * the edge than the limit. `merged`: tone the spot has merged into pools wider than the limit.
 */
export const measures = {
  walls: thin('wall'),
  dots: thin('dot'),
  thin: thin('wall', 'dot'),
  wide,
  ring,
  keepOut,
  merged,
} as const satisfies Record<string, Measure>;

export type MeasureKind = keyof typeof measures;
