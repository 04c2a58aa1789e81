/**
 * What one fired pixel etches, cut up by the pixel grid: the shape of the mark and the regions of a pixel
 * that are reached by the same neighbours. Hard-edged mark, after the circular dot overlap model of Roetling &
 * Holladay 1979 and Pappas & Neuhoff 1991 (both from memory).
 */

import { lastMade } from '../last-made.ts';

/** `pulse`: one flash a pixel, a disc. `sweep`: the beam moves one pixel in x while it is on, a stadium. */
export type Beam = 'pulse' | 'sweep';

/** The mark of the beam against the pixel: `spotPx` = spot diameter / pitch. */
export interface SpotShape {
  readonly spotPx: number;
  readonly beam: Beam;
}

/** A pixel (dx, dy) away from the one looked at; y grows downwards. */
export interface Offset {
  readonly dx: number;
  readonly dy: number;
}

/** The part of a pixel that is etched when at least one of `by` fires. */
export interface SpotRegion {
  /** Share of a pixel's area, 0…1. */
  readonly areaPx: number;
  readonly by: readonly Offset[];
}

/** Lines in each strip of a pixel; each is cut exactly, so areas come out to about five in a million. */
const LINES = 256;

/** Widest spot that the packed words are laid out for. */
export const MAX_SPOT_PX = 16;

const halfSweepPx = (beam: Beam): number => (beam === 'sweep' ? 0.5 : 0);

/** How far a fired pixel reaches, in whole pixels along x and y. */
export function reachOf({ spotPx, beam }: SpotShape): { readonly x: number; readonly y: number } {
  const radius = spotPx / 2;
  const pixels = (reach: number): number => Math.max(0, Math.ceil(reach - 0.5));
  return { x: pixels(radius + halfSweepPx(beam)), y: pixels(radius) };
}

/** Every neighbour that may reach into a pixel, the nearest first. */
export function neighboursOf(shape: SpotShape): readonly Offset[] {
  const reach = reachOf(shape);
  const found: Offset[] = [];
  for (let dy = -reach.y; dy <= reach.y; dy++) {
    for (let dx = -reach.x; dx <= reach.x; dx++) {
      if (distance(shape.beam, dx, dy, 0.5) < shape.spotPx / 2) found.push({ dx, dy });
    }
  }
  const far = ({ dx, dy }: Offset): number => dx * dx + dy * dy;
  return found.sort((a, b) => far(a) - far(b));
}

/** Distance of a mark's middle from the nearest point of the pixel (`edgePx` 0.5) or from the farthest (−0.5). */
function distance(beam: Beam, dx: number, dy: number, edgePx: number): number {
  const x = Math.abs(dx) - edgePx - halfSweepPx(beam);
  const y = Math.abs(dy) - edgePx;
  return Math.hypot(Math.max(0, x), Math.max(0, y));
}

/** True if the mark of the neighbour covers the whole pixel. */
export const coversWhole = (shape: SpotShape, { dx, dy }: Offset): boolean =>
  distance(shape.beam, dx, dy, -0.5) <= shape.spotPx / 2;

/**
 * Lines across the pixel, each with the height it stands for. The pixel is parted where a mark's top or bottom
 * lies, because there widths begin like a square root (or at once, if swept); the cosine spacing takes that out.
 */
function linesAcross(near: readonly Offset[], radius: number): { y: number; height: number }[] {
  const ends = near.flatMap(({ dy }) => [dy - radius, dy + radius]).filter((y) => Math.abs(y) < 0.5);
  const strips = [...new Set([-0.5, ...ends, 0.5])].sort((a, b) => a - b);
  return strips.slice(1).flatMap((bottom, i) => {
    const half = (bottom - strips[i]!) / 2;
    return Array.from({ length: LINES }, (_, line) => ({
      y: strips[i]! + half * (1 - Math.cos(((line + 0.5) * Math.PI) / LINES)),
      // exact integral of the sine over the line's share, so that the heights add up
      height: half * (Math.cos((line * Math.PI) / LINES) - Math.cos(((line + 1) * Math.PI) / LINES)),
    }));
  });
}

/**
 * The regions of a pixel, each with the neighbours that etch it. Areas add up to the share that a solid etches.
 * Each of many lines across the pixel is cut exactly where a mark begins or ends: some 20 ms, so the last ones are kept.
 */
export const spotRegions = lastMade(cutRegions, ({ spotPx, beam }) => `${spotPx} ${beam}`);

function cutRegions(shape: SpotShape): readonly SpotRegion[] {
  const near = neighboursOf(shape);
  const areas = new Map<string, { area: number; members: boolean[] }>();
  const radius = shape.spotPx / 2;
  for (const { y, height } of linesAcross(near, radius)) {
    const spans = near.map(({ dx, dy }) => {
      const square = radius * radius - (y - dy) * (y - dy);
      const half = square > 0 ? Math.sqrt(square) + halfSweepPx(shape.beam) : -1;
      return { from: Math.max(-0.5, dx - half), to: Math.min(0.5, dx + half) };
    });
    const cuts = [-0.5, 0.5];
    for (const { from, to } of spans) if (from < to) cuts.push(from, to);
    cuts.sort((a, b) => a - b);
    for (let i = 1; i < cuts.length; i++) {
      const width = cuts[i]! - cuts[i - 1]!;
      if (width <= 0) continue;
      const x = (cuts[i]! + cuts[i - 1]!) / 2;
      const members = spans.map(({ from, to }) => from < x && x < to);
      const key = members.map(Number).join('');
      const entry = areas.get(key) ?? { area: 0, members };
      entry.area += width * height;
      areas.set(key, entry);
    }
  }
  return [...areas.values()]
    .map(({ area, members }) => ({ areaPx: area, by: near.filter((_, i) => members[i]) }))
    .filter(({ by }) => by.length > 0);
}
