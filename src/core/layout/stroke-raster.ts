import { type Bitmap, fillRow } from '../bitmap.ts';
import type { Stroke } from './strokefont.ts';

/** The pen: its width, and how fine the bitmap under it is. */
export interface Pen {
  readonly pxPerMm: number;
  readonly penMm: number;
  /** Row of the drawing that the bitmap begins with; 0 unless given. */
  readonly fromRow?: number;
}

interface Segment {
  readonly ax: number;
  readonly ay: number;
  readonly dx: number;
  readonly dy: number;
}

/** Is a point within `radius` of a segment? All in pixels. */
function near({ ax, ay, dx, dy }: Segment, radius: number, x: number, y: number): boolean {
  const px = x - ax;
  const py = y - ay;
  const along = px * dx + py * dy;
  const lengthSq = dx * dx + dy * dy;
  if (along <= 0) return px * px + py * py <= radius * radius;
  if (along >= lengthSq) return (px - dx) ** 2 + (py - dy) ** 2 <= radius * radius;
  const across = px * dy - py * dx;
  return across * across <= radius * radius * lengthSq;
}

/** From where to where a row is covered; empty where `from` is more than `to`. */
interface Span {
  from: number;
  to: number;
}

function widen(span: Span, from: number, to: number): void {
  span.from = Math.min(span.from, from);
  span.to = Math.max(span.to, to);
}

/** Widens a span by the disc about `x` at `far` above or below its middle. */
function widenByEnd(span: Span, x: number, radius: number, far: number): void {
  const halfSq = radius * radius - far ** 2;
  if (halfSq < 0) return;
  const half = Math.sqrt(halfSq);
  widen(span, x - half, x + half);
}

/** Widens a span by the edge that runs beside the segment at ± `radius`, `side`. */
function widenBySide(span: Span, { ax, ay, dx, dy }: Segment, length: number, side: number, y: number): void {
  const t = (y - ay + (side * dx) / length) / dy;
  const x = ax + t * dx + (side * dy) / length;
  if (t >= 0 && t <= 1) widen(span, x, x);
}

/** Leftmost and rightmost x of the thick segment at height y: it is convex, so all between is inside. */
function laySpan(span: Span, segment: Segment, length: number, radius: number, y: number): void {
  const { ax, ay, dx, dy } = segment;
  span.from = Number.POSITIVE_INFINITY;
  span.to = Number.NEGATIVE_INFINITY;
  widenByEnd(span, ax, radius, y - ay);
  widenByEnd(span, ax + dx, radius, y - ay - dy);
  if (length === 0 || dy === 0) return;
  widenBySide(span, segment, length, -radius, y);
  widenBySide(span, segment, length, radius, y);
}

function drawSegment(bitmap: Bitmap, segment: Segment, radius: number, fromRow: number): void {
  const { ay, dx, dy } = segment;
  const length = Math.hypot(dx, dy);
  const span: Span = { from: 0, to: 0 };
  const lastRow = fromRow + bitmap.heightPx - 1;
  const top = Math.max(fromRow, Math.floor(Math.min(ay, ay + dy) - radius - 0.5));
  const bottom = Math.min(lastRow, Math.ceil(Math.max(ay, ay + dy) + radius - 0.5));
  for (let row = top; row <= bottom; row++) {
    const y = row + 0.5;
    laySpan(span, segment, length, radius, y);
    if (!(span.from <= span.to)) continue;
    // one pixel too many on either side, then exact: a rounded root decides nothing
    let from = Math.max(0, Math.floor(span.from - 0.5));
    let to = Math.min(bitmap.widthPx - 1, Math.ceil(span.to - 0.5));
    while (from <= to && !near(segment, radius, from + 0.5, y)) from++;
    while (to >= from && !near(segment, radius, to + 0.5, y)) to--;
    fillRow(bitmap.data, (row - fromRow) * bitmap.strideBytes, from, to + 1, 1);
  }
}

/**
 * Draws strokes into a bitmap with a round pen: a pixel is set when its centre lies under the pen.
 *
 * Set bits stay set, what lies outside is cut off. Lengths in mm from the top left corner; a pen under
 * one pixel (1 / pxPerMm) may leave gaps.
 */
export function drawStrokes(bitmap: Bitmap, strokes: readonly Stroke[], pen: Pen): void {
  const { pxPerMm, penMm, fromRow = 0 } = pen;
  const radius = (penMm * pxPerMm) / 2;
  for (const stroke of strokes) {
    for (let i = 1; i < stroke.length; i++) {
      const a = stroke[i - 1]!;
      const b = stroke[i]!;
      const ax = a.xMm * pxPerMm;
      const ay = a.yMm * pxPerMm;
      drawSegment(bitmap, { ax, ay, dx: b.xMm * pxPerMm - ax, dy: b.yMm * pxPerMm - ay }, radius, fromRow);
    }
  }
}
