import type { Mending } from './contract.ts';
import {
  closed,
  countLoops,
  holds,
  lengthMm,
  middleOf,
  offset,
  opened,
  type Polygons,
  partsOf,
  simplified,
  united,
  without,
} from './polygons.ts';

/** What mending did to a shape. */
export interface Mended {
  readonly polygons: Polygons;
  /** Necks that were made wider. */
  readonly widened: number;
  /** Parts too small for the smallest radius. */
  readonly lostPieces: number;
  /** Holes that were filled, or broke through to the outside. */
  readonly lostHoles: number;
}

/** Two parts touch where they come so near: twice what coarse arcs are off. */
const TOUCH_MM = 0.02;
/** What is smaller than this share of a bridge is a corner that no disc reaches into. */
const CORNER_SHARE = 0.1;
/** A trace has many points that say nothing: they go as long as the line stays within this share of its tolerance. */
const SIMPLER_SHARE = 0.05;
/** To find necks, and not to draw them, arcs may be coarse. */
const COARSE_MM = 0.01;
/** Necks that widening makes between two others; a third round has not been seen. */
const MOST_ROUNDS = 4;

/**
 * On how many separate stretches of its line a part touches the wide ones, which are given grown by a touch. Stretches
 * apart from each other by less than a corner are one.
 */
function contactsOf(part: Polygons, wide: Polygons, cornerMm: number): number {
  const [line] = part;
  if (!line) return 0;
  const touches = line.map((point, i) => holds(wide, middleOf(point, line[(i + 1) % line.length]!)));
  const first = touches.indexOf(true);
  if (first < 0) return 0;
  let gaps = 0;
  let freeMm = 0;
  for (let k = 1; k <= line.length; k++) {
    const at = (first + k) % line.length;
    if (touches[at]) {
      if (freeMm >= cornerMm) gaps++;
      freeMm = 0;
    } else freeMm += lengthMm(line[at]!, line[(at + 1) % line.length]!);
  }
  return Math.max(1, gaps);
}

/** The parts that are narrower than a bridge and join two others, or the same one twice, or are all there is. */
export function necksOf(polygons: Polygons, bridgeMm: number): Polygons[] {
  const wide = opened(polygons, bridgeMm / 2, COARSE_MM);
  // a little wider, or hairs along straight edges join corners that have nothing to do with each other
  const bare = offset(wide, TOUCH_MM, 'round', COARSE_MM);
  const grown = offset(bare, TOUCH_MM, 'round', COARSE_MM);
  const cornerMm = CORNER_SHARE * bridgeMm;
  return partsOf(without(polygons, bare), cornerMm).filter((part) => contactsOf(part, grown, cornerMm) !== 1);
}

/**
 * Gives a shape its rim, its least bridge and its least radius, in this order. A neck under the bridge is grown by
 * half a bridge to either side, which makes it wide enough however thin it was; free ends stay as thin as they are.
 */
export function mend(
  polygons: Polygons,
  { rimMm, minRadiusMm, minBridgeMm }: Mending,
  toleranceMm: number,
): Mended {
  const simplerMm = SIMPLER_SHARE * toleranceMm;
  const rimmed = simplified(offset(simplified(polygons, simplerMm), rimMm, 'round', simplerMm), simplerMm);
  let wide = rimmed;
  let widened = 0;
  // a neck narrower than twice the radius would be lost to it
  const bridgeMm = minBridgeMm === 0 ? 0 : Math.max(minBridgeMm, 2 * minRadiusMm);
  for (let round = 0; bridgeMm > 0 && round < MOST_ROUNDS; round++) {
    const necks = necksOf(wide, bridgeMm);
    if (necks.length === 0) break;
    widened += necks.length;
    wide = united(
      wide,
      necks.flatMap((neck) => offset(neck, bridgeMm / 2)),
    );
  }
  const smooth = minRadiusMm === 0 ? wide : opened(closed(wide, minRadiusMm), minRadiusMm);
  const before = countLoops(rimmed);
  const after = countLoops(smooth);
  return {
    polygons: smooth,
    widened,
    lostPieces: Math.max(0, before.pieces - after.pieces),
    lostHoles: Math.max(0, before.holes - after.holes),
  };
}
