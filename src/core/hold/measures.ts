import { type Cluster, createClusterer } from './clusters.ts';
import type { HoldNeed, MeasureKind } from './contract.ts';
import { findEdgeMarks, keptStrips } from './edge.ts';
import {
  type HoldPlate,
  type Measure,
  NEAR_MM,
  NOTHING_FOUND,
  narrower,
  type Tally,
  tell,
  wider,
} from './findings.ts';
import { findWide } from './inscribed.ts';
import { findMerged } from './merged.ts';
import { findThin, type ThinSpot } from './thin.ts';
import { holdsFromPx, widthMm, widthPx } from './widths.ts';

const byArea = ({ areaPx }: Cluster): number => areaPx;

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
    const totalPx = clusters.reduce((sum, { areaPx }) => sum + areaPx, 0);
    const byWidth = Array.from({ length: limitPx + 1 }, (_, px) => ({
      widthMm: widthMm(need.side, px, plate),
      share: kinds.reduce((sum, kind) => sum + found[kind].byWidthPx[px]!, 0) / totalPx,
    }));
    const told = tell(clusters, plate.pitchMm, {
      worse: narrower,
      weigh: ({ areaPx, worstPx }) => areaPx * (limitPx - worstPx),
      toMm: (px) => widthMm(need.side, px, plate),
      ofPx: plate.sidePx[need.side],
    });
    return { ...told, byWidth: byWidth.filter(({ share }) => share > 0) };
  };

/** The place of a wide area is its largest circle. */
const wide: Measure = (plate, need, limitMm) => {
  if (limitMm === Infinity) return NOTHING_FOUND;
  const circles = findWide(plate.map, need.side, widthPx(need.side, limitMm, plate)).map((circle) => {
    const radius = circle.diameterPx / 2;
    const [x, y] = [circle.x + 0.5, circle.y + 0.5];
    const box = { left: x - radius, top: y - radius, right: x + radius, bottom: y + radius };
    return { ...box, count: 1, areaPx: circle.areaPx, worstPx: circle.diameterPx };
  });
  return tell(circles, plate.pitchMm, {
    worse: wider,
    weigh: ({ worstPx }) => worstPx,
    toMm: (px) => widthMm(need.side, px, plate),
    ofPx: plate.sidePx[need.side],
  });
};

/** Whoever wants a strip narrower than the limit left alone says so with it. */
const ring: Measure = (plate, _need, limitMm) => {
  const strips = keptStrips(plate.map).filter(({ thickPx }) => thickPx * plate.pitchMm > limitMm);
  const clusters = strips.map((strip) => ({
    ...strip,
    count: 1,
    areaPx: (strip.right - strip.left) * (strip.bottom - strip.top),
    worstPx: strip.thickPx,
  }));
  return tell(clusters, plate.pitchMm, {
    worse: wider,
    weigh: byArea,
    toMm: (px) => px * plate.pitchMm,
    ofPx: plate.sidePx.kept,
  });
};

const keepOut: Measure = (plate, need, limitMm) => {
  const clusterer = createClusterer(plate.map, NEAR_MM / plate.pitchMm, narrower);
  findEdgeMarks(plate.map, need.side, Math.ceil(limitMm / plate.pitchMm - 1e-9), (mark) =>
    clusterer.add(mark, 1, mark.areaPx, mark.clearPx),
  );
  return tell(clusterer.clusters(), plate.pitchMm, {
    worse: narrower,
    weigh: byArea,
    toMm: (px) => px * plate.pitchMm,
    ofPx: plate.sidePx[need.side],
  });
};

const merged: Measure = (plate, _need, limitMm) => {
  const fields = findMerged(plate.map, plate.spotMm / plate.pitchMm).map((field) => ({
    ...field,
    count: 1,
    worstPx: field.widthPx,
  }));
  const tooWide = fields.filter(({ widthPx: across }) => across * plate.pitchMm > limitMm);
  return tell(tooWide, plate.pitchMm, {
    worse: wider,
    weigh: byArea,
    toMm: (px) => px * plate.pitchMm,
    ofPx: plate.map.widthPx * plate.map.heightPx,
  });
};

/**
 * What can be measured. `walls`, `dots` and `thin` (both): narrower than the limit. `wide`: areas whose largest
 * circle is wider than the limit. `ring`: strips wider than the limit along the edge that are wholly kept. `keepOut`: anything of the side nearer to the edge than the limit. `merged`: tone
 * the spot has merged into pools wider than the limit.
 */
export const measures = {
  walls: thin('wall'),
  dots: thin('dot'),
  thin: thin('wall', 'dot'),
  wide,
  ring,
  keepOut,
  merged,
} as const satisfies Record<MeasureKind, Measure>;
