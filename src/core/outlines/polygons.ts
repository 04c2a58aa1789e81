/** Polygons in mm, by clipper2-ts, which works in whole numbers: here tenths of a micrometre. */

import {
  Clipper,
  EndType,
  FillRule,
  JoinType,
  type Path64,
  type Paths64,
  PointInPolygonResult,
} from 'clipper2-ts';
import type { Loop } from './contract.ts';

const UNITS_PER_MM = 10_000;
/** Arcs of an offset are chords no further from them than this. */
const ARC_TOLERANCE_MM = 0.0005;
/** Square corners stay square under an offset; sharper ones than about 60° are cut off. */
const MITRE_LIMIT = 2;

const toPath = (loop: Loop): Path64 =>
  loop.map(({ x, y }) => ({ x: Math.round(x * UNITS_PER_MM), y: Math.round(y * UNITS_PER_MM) })) as Path64;

/** Loops as clipper wants them: outer ones turn one way, holes the other. */
export const polygonsOf = (loops: readonly Loop[]): Paths64 =>
  Clipper.union(loops.map(toPath), FillRule.EvenOdd);

/** Points dropped as long as the line stays within `mm` of where it was. */
export const simplified = (polygons: Polygons, mm: number): Polygons =>
  Clipper.ramerDouglasPeuckerPaths(polygons, mm * UNITS_PER_MM);

/** Polygons in mm again, to a tenth of a micrometre; which way they turn is kept. */
export const loopsOf = (polygons: Paths64): Loop[] =>
  polygons.map((path) => path.map(({ x, y }) => ({ x: x / UNITS_PER_MM, y: y / UNITS_PER_MM })));

/** Outer loops and holes in whole units, turned as clipper wants them. */
export type Polygons = Paths64;
/** What becomes of outer corners of what grows. */
export type Join = 'mitred' | 'round';

/** Grown by `mm` on every side, or drawn in where that is negative; holes go the other way. */
export function offset(
  polygons: Polygons,
  mm: number,
  join: Join = 'round',
  arcToleranceMm = ARC_TOLERANCE_MM,
): Polygons {
  if (mm === 0 || polygons.length === 0) return polygons;
  const type = join === 'round' ? JoinType.Round : JoinType.Miter;
  return Clipper.inflatePaths(
    polygons,
    mm * UNITS_PER_MM,
    type,
    EndType.Polygon,
    MITRE_LIMIT,
    arcToleranceMm * UNITS_PER_MM,
  );
}

/** What a disc of this radius reaches inside: parts narrower than it are lost, outer corners rounded. */
export const opened = (polygons: Polygons, radiusMm: number, arcToleranceMm?: number): Polygons =>
  offset(offset(polygons, -radiusMm, 'round', arcToleranceMm), radiusMm, 'round', arcToleranceMm);

/** The opening of what is outside: gaps narrower than the disc are filled, inner corners rounded. */
export const closed = (polygons: Polygons, radiusMm: number): Polygons =>
  offset(offset(polygons, radiusMm), -radiusMm);

/** What lies in one or the other. */
export const united = (a: Polygons, b: Polygons): Polygons => Clipper.union(a, b, FillRule.NonZero);
/** What lies in both. */
export const common = (a: Polygons, b: Polygons): Polygons => Clipper.intersect(a, b, FillRule.NonZero);
/** What lies in the first and not in the other. */
export const without = (a: Polygons, b: Polygons): Polygons => Clipper.difference(a, b, FillRule.NonZero);

/** In mm²; holes count against it. */
export const areaMm2 = (polygons: Polygons): number =>
  Clipper.areaPaths(polygons) / (UNITS_PER_MM * UNITS_PER_MM);

/** The loops that lie on the outside, and those that are holes. */
export function countLoops(polygons: Polygons): { readonly pieces: number; readonly holes: number } {
  const pieces = polygons.filter((path) => Clipper.isPositive(path)).length;
  return { pieces, holes: polygons.length - pieces };
}

/** The separate parts that are at least so long or wide, each with its own holes. */
export function partsOf(polygons: Polygons, leastMm = 0): Polygons[] {
  const outer = polygons.filter((path) => Clipper.isPositive(path) && extentMm([path]) >= leastMm);
  const holes = polygons.filter((path) => !Clipper.isPositive(path));
  if (outer.length < 2) return outer.length === 0 ? [] : [[outer[0]!, ...holes]];
  const parts = outer.map((path) => [path]);
  // the smallest part around a hole has it
  const bySize = [...parts].sort((a, b) => Clipper.area(a[0]!) - Clipper.area(b[0]!));
  for (const hole of holes) bySize.find(([path]) => isInside(hole, path!))?.push(hole);
  return parts;
}

/** Loops of one shape touch at single points at most, so one point that is not on the other's line decides. */
function isInside(hole: Path64, path: Path64): boolean {
  for (const point of hole) {
    const place = Clipper.pointInPolygon(point, path);
    if (place !== PointInPolygonResult.IsOn) return place === PointInPolygonResult.IsInside;
  }
  return false;
}

/** The box around polygons, in mm. */
export function boxMm(polygons: Polygons) {
  const { left, top, right, bottom } = Clipper.getBoundsPaths(polygons);
  return {
    left: left / UNITS_PER_MM,
    top: top / UNITS_PER_MM,
    right: right / UNITS_PER_MM,
    bottom: bottom / UNITS_PER_MM,
  };
}

/** The longer side of that box. */
function extentMm(polygons: Polygons): number {
  const { left, top, right, bottom } = boxMm(polygons);
  return Math.max(right - left, bottom - top);
}

/** Between two points, which are in whole units. */
export const lengthMm = (a: Path64[number], b: Path64[number]): number =>
  Math.hypot(b.x - a.x, b.y - a.y) / UNITS_PER_MM;

/** Half way between two points, rounded to a whole unit. */
export const middleOf = (a: Path64[number], b: Path64[number]): Path64[number] => ({
  x: Math.round((a.x + b.x) / 2),
  y: Math.round((a.y + b.y) / 2),
});

/** True where a point lies in polygons, holes apart, or on their line. */
export function holds(polygons: Polygons, point: Path64[number]): boolean {
  let inside = false;
  for (const path of polygons) {
    const place = Clipper.pointInPolygon(point, path);
    if (place === PointInPolygonResult.IsOn) return true;
    if (place === PointInPolygonResult.IsInside) inside = !inside;
  }
  return inside;
}
