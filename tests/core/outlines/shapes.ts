/** Shapes with known measures, and plain measures of lines to hold them to. */
import type { Loop, OutlinePath, PointMm } from '../../../src/core/outlines/contract.ts';
import type { Coverage } from '../../../src/core/outlines/trace.ts';

/** A star of so many points around a centre. */
export const star = (points: number, outer: number, inner: number, x: number, y: number): PointMm[] =>
  Array.from({ length: 2 * points }, (_, i) => {
    const r = i % 2 === 0 ? outer : inner;
    const angle = (i * Math.PI) / points - Math.PI / 2;
    return { x: x + r * Math.cos(angle), y: y + r * Math.sin(angle) };
  });

/** Half the product of radii and the sine of the angle between them, for each of its triangles. */
export const starAreaMm2 = (points: number, outer: number, inner: number): number =>
  points * outer * inner * Math.sin(Math.PI / points);

export function isInside(loop: Loop, { x, y }: PointMm): boolean {
  let inside = false;
  for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
    const [a, b] = [loop[i]!, loop[j]!];
    if (a.y > y !== b.y > y && x < ((b.x - a.x) * (y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}

/** Distance of a point from the nearest side of a polygon. */
export function distanceToLoop({ x, y }: PointMm, loop: Loop): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < loop.length; i++) {
    const [a, b] = [loop[i]!, loop[(i + 1) % loop.length]!];
    const [dx, dy] = [b.x - a.x, b.y - a.y];
    const t = Math.min(1, Math.max(0, ((x - a.x) * dx + (y - a.y) * dy) / (dx * dx + dy * dy)));
    least = Math.min(least, Math.hypot(x - a.x - t * dx, y - a.y - t * dy));
  }
  return least;
}

/** Points of a line, many to each segment, by the plain formula of a cubic (de Casteljau). */
export function sampled({ start, segments }: OutlinePath, each = 40): PointMm[] {
  const mix = (a: PointMm, b: PointMm, t: number): PointMm => ({
    x: a.x + t * (b.x - a.x),
    y: a.y + t * (b.y - a.y),
  });
  let from = start;
  return segments.flatMap(({ c1, c2, to }) => {
    const a = from;
    from = to;
    return Array.from({ length: each }, (_, i) => {
      const t = i / each;
      if (!c1 || !c2) return mix(a, to, t);
      const [p, q, r] = [mix(a, c1, t), mix(c1, c2, t), mix(c2, to, t)];
      return mix(mix(p, q, t), mix(q, r, t), t);
    });
  });
}

/** Points along a polygon, so many to a side. */
const along = (loop: Loop, each = 40): PointMm[] =>
  loop.flatMap((a, i) => {
    const b = loop[(i + 1) % loop.length]!;
    return Array.from({ length: each }, (_, k) => ({
      x: a.x + (k / each) * (b.x - a.x),
      y: a.y + (k / each) * (b.y - a.y),
    }));
  });

/** Hausdorff distance of two polygons, to the spacing of the points that are tried. */
export const hausdorffMm = (a: Loop, b: Loop): number =>
  Math.max(
    ...along(a).map((point) => distanceToLoop(point, b)),
    ...along(b).map((point) => distanceToLoop(point, a)),
  );

/** A picture of what is inside, each pixel by the mean of `fine` × `fine` points; 1 gives no greys. */
export function drawn(
  widthPx: number,
  heightPx: number,
  stepMm: number,
  fine: number,
  inside: (point: PointMm) => boolean,
): Coverage {
  const values = new Uint8Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      let hits = 0;
      for (let j = 0; j < fine; j++)
        for (let i = 0; i < fine; i++)
          if (inside({ x: (x + (i + 0.5) / fine) * stepMm, y: (y + (j + 0.5) / fine) * stepMm })) hits++;
      values[y * widthPx + x] = Math.round((255 * hits) / (fine * fine));
    }
  return { widthPx, heightPx, values };
}
