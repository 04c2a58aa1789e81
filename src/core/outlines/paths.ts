import type { AnyOutlineDef, BoxMm, Loop, OutlinePath, PointMm, Segment } from './contract.ts';
import { type OutlineKind, outlines } from './index.ts';
import { type Mended, mend } from './mend.ts';
import { common, countLoops, loopsOf, offset, type Polygons, polygonsOf } from './polygons.ts';
import { type Smoothing, smoothLoop } from './smooth.ts';

/** A shape as it was traced. */
export interface Traced {
  /** In mm, in the frame of the box. */
  readonly loops: readonly Loop[];
  /** Length of the steps it was traced in. */
  readonly stepMm: number;
  /** What of the picture is on the plate; the rest is cut off. */
  readonly within: BoxMm;
}

/** What decides the line besides its kind. */
export interface LineWish {
  /** Width of the cut; the line runs half of it outside the piece. 0 for lines that are not cut. */
  readonly kerfMm: number;
  /** Furthest that the line may lie from the true one. */
  readonly toleranceMm: number;
  /** Null for kinds that follow no picture. */
  readonly traced: Traced | null;
}

/** An outline, whole. Lengths in mm, in the frame of the box it was made for. */
export interface Outline extends Omit<Mended, 'polygons'> {
  /** The line to be drawn. */
  readonly paths: readonly OutlinePath[];
  /** The piece that is left, without the kerf. */
  readonly piece: Polygons;
  readonly pieces: number;
  readonly holes: number;
}

/** Half of the tolerance is for tracing and offsets, half for fitting curves. */
const FIT_SHARE = 0.5;
/** Chords of arcs stay under 1 mm; what is twice as long was drawn straight. */
const STRAIGHT_FROM_MM = 2;

const smoothingFor = ({ toleranceMm, traced }: LineWish): Smoothing => ({
  toleranceMm: FIT_SHARE * toleranceMm,
  straightFromMm: Math.max(STRAIGHT_FROM_MM, 4 * (traced?.stepMm ?? 0)),
  overMm: Math.max(2 * toleranceMm, 3 * (traced?.stepMm ?? 0)),
});

/**
 * The line around a piece: its own shape, mended, grown by half the kerf (holes shrink by it), as straight lines and
 * curves within the tolerance. `params` are the kind's own, checked. RangeError where nothing is left of the piece.
 */
export function outlinePaths(kind: OutlineKind, params: object, box: BoxMm, wish: LineWish): Outline {
  // the registry's entries have parameter types of their own; whoever calls has checked them
  const def = outlines[kind] as unknown as AnyOutlineDef;
  const checked = params as Record<string, unknown>;
  const whole = polygonsOf(def.loops(checked, box, wish.traced?.loops ?? []));
  const drawn = wish.traced ? common(whole, polygonsOf([cornersOf(wish.traced.within)])) : whole;
  const mending = def.mending(checked);
  const { polygons: piece, ...mended } = mending
    ? mend(drawn, mending, wish.toleranceMm)
    : { polygons: drawn, widened: 0, lostPieces: 0, lostHoles: 0 };
  if (piece.length === 0) throw new RangeError('nothing is left of the piece');
  const line = offset(piece, wish.kerfMm / 2, mending ? 'round' : 'mitred');
  const smoothing = smoothingFor(wish);
  const loops = loopsOf(line);
  const paths = loops.map((loop, i) => smoothLoop(loop, !isOuter(line, i), smoothing));
  return { paths, piece, ...mended, ...countLoops(line) };
}

const cornersOf = ({ xMm, yMm, widthMm, heightMm }: BoxMm): Loop => [
  { x: xMm, y: yMm },
  { x: xMm + widthMm, y: yMm },
  { x: xMm + widthMm, y: yMm + heightMm },
  { x: xMm, y: yMm + heightMm },
];

const isOuter = (polygons: Polygons, i: number): boolean => countLoops([polygons[i]!]).pieces === 1;

const mapped = (path: OutlinePath, to: (point: PointMm) => PointMm): OutlinePath => ({
  ...path,
  start: to(path.start),
  segments: path.segments.map(
    (segment): Segment =>
      segment.c1 && segment.c2
        ? { c1: to(segment.c1), c2: to(segment.c2), to: to(segment.to) }
        : { to: to(segment.to) },
  ),
});

/** Paths moved by so much. */
export const movedPaths = (paths: readonly OutlinePath[], dxMm: number, dyMm: number): OutlinePath[] =>
  paths.map((path) => mapped(path, ({ x, y }) => ({ x: x + dxMm, y: y + dyMm })));

/** Paths turned by 90 degrees clockwise, as the plate of that height is turned. */
export const turnedPaths = (paths: readonly OutlinePath[], heightMm: number): OutlinePath[] =>
  paths.map((path) => mapped(path, ({ x, y }) => ({ x: heightMm - y, y: x })));

/** Paths mirrored left to right within a width, as a plate is. */
export const mirroredPaths = (paths: readonly OutlinePath[], widthMm: number): OutlinePath[] =>
  paths.map((path) => mapped(path, ({ x, y }) => ({ x: widthMm - x, y })));
