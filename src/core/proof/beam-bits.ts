import type { Bitmap } from '../bitmap.ts';
import type { SpotShape } from '../spot/regions.ts';
import { lastWordMask, readRowWords, wordsFor } from '../spot/words.ts';

/** Where in a pixel it is asked whether the beam reaches: on a turned square, so that no two lie in one row or column. */
const IN_PIXEL = [
  [-0.375, -0.125],
  [0.125, -0.375],
  [0.375, 0.125],
  [-0.125, 0.375],
] as const;

/** How many they are. */
export const PLACES = IN_PIXEL.length;

/** Pixels in a row, counted to the right of a place; both ends belong to it. */
interface Span {
  readonly from: number;
  readonly to: number;
}

/** Pixels of row dy that reach a place. */
interface Run extends Span {
  readonly dy: number;
}

/**
 * The neighbours whose marks reach a place: the nearest, as many as make the area of a mark right over all four
 * places, which a plain distance would miss by a twentieth. A run for each row that has any.
 */
function runsFor({ spotPx, beam }: SpotShape, [px, py]: readonly [number, number], index: number): Run[] {
  const radius = spotPx / 2;
  const sweepPx = beam === 'sweep' ? 1 : 0;
  const areaPx = Math.PI * radius * radius + spotPx * sweepPx;
  const count = Math.floor((Math.round(PLACES * areaPx) + index) / PLACES);
  const reach = Math.ceil(radius + 1);
  const side = Array.from({ length: 2 * reach + 1 }, (_, i) => i - reach);
  const far = (dx: number, dy: number): number =>
    Math.hypot(Math.max(0, Math.abs(dx - px) - sweepPx / 2), dy - py);
  const nearest = side
    .flatMap((dy) => side.map((dx) => ({ dx, dy, far: far(dx, dy) })))
    .sort((a, b) => a.far - b.far)
    .slice(0, count);
  return side.flatMap((dy) => {
    const dxs = nearest.filter((near) => near.dy === dy).map(({ dx }) => dx);
    return dxs.length === 0 ? [] : [{ dy, from: Math.min(...dxs), to: Math.max(...dxs) }];
  });
}

/** A row of the plate moved by all steps of each run that some place asks for. */
interface Smeared {
  y: number;
  /** By run; empty words where the row is. */
  runs: readonly Int32Array[];
  readonly own: readonly Int32Array[];
}

/** How a run is made: another run within it, or the row itself, and the steps that this one lacks. */
interface Smear {
  /** Index of the run within it; −1 for the row itself, which is step 0 and in every run that has it. */
  readonly from: number;
  readonly steps: readonly number[];
}

/** Runs in an order in which each can be made from one before it, and how. */
function planSmears(runs: readonly Span[]): Smear[] {
  return runs.map(({ from, to }, i) => {
    const inside = (run: Span): boolean => run.from >= from && run.to <= to;
    let best = -1;
    for (let k = 0; k < i; k++) {
      const size = runs[k]!.to - runs[k]!.from;
      if (inside(runs[k]!) && (best < 0 || size > runs[best]!.to - runs[best]!.from)) best = k;
    }
    const has = (dx: number): boolean =>
      best < 0 ? dx === 0 : dx >= runs[best]!.from && dx <= runs[best]!.to;
    const all = Array.from({ length: to - from + 1 }, (_, step) => from + step);
    return { from: best, steps: all.filter((dx) => !has(dx)) };
  });
}

/** Rows that are laid over each other in one go: a spot of four pixels has four, one of eight has eight. */
const AT_ONCE = 4;

/**
 * Bits that say of every pixel of row `y` whether it is etched, for each of the places: in words from index 1, as `readRowWords`
 * has them; good until another row is asked for.
 */
export type BeamBits = (y: number) => readonly Int32Array[];

/**
 * What a beam etches, looked at in four places of each pixel; words of 32 pixels at a time. Each row is smeared once
 * for all places and all rows about it.
 */
export function openBeamBits(map: Bitmap, shape: SpotShape): BeamBits {
  const words = wordsFor(map.widthPx);
  const lastUsed = lastWordMask(map.widthPx);
  const places = IN_PIXEL.map((place, i) => runsFor(shape, place, i));
  const keyOf = ({ from, to }: Run): string => `${from} ${to}`;
  const spans = [...new Map(places.flat().map((run) => [keyOf(run), run])).values()].sort(
    (a, b) => a.to - a.from - (b.to - b.from),
  );
  const smears = planSmears(spans);
  const spanOf = new Map(spans.map((span, i) => [keyOf(span), i]));
  const taken = places.map((runs) => runs.map((run) => ({ dy: run.dy, span: spanOf.get(keyOf(run))! })));
  const reach = Math.max(0, ...places.flat().map(({ dy }) => Math.abs(dy)));
  const plain = new Int32Array(words + 2);
  const none = new Int32Array(words + 2);
  const blank = spans.map(() => none);
  const kept = Array.from({ length: 2 * reach + 1 }, (): Smeared => {
    const own = spans.map(() => new Int32Array(words + 2));
    return { y: Number.NaN, runs: blank, own };
  });
  const smeared = (y: number): readonly Int32Array[] => {
    const slot = kept[((y % kept.length) + kept.length) % kept.length]!;
    if (slot.y === y) return slot.runs;
    slot.y = y;
    readRowWords(map, y, plain);
    slot.runs = isBlank(plain) ? blank : slot.own;
    if (slot.runs === slot.own)
      for (let i = 0; i < smears.length; i++) {
        const { from, steps } = smears[i]!;
        smear(
          plain,
          from < 0 ? (spans[i]!.from <= 0 && spans[i]!.to >= 0 ? plain : none) : slot.own[from]!,
          steps,
          slot.own[i]!,
        );
      }
    return slot.runs;
  };
  const all = places.map(() => new Int32Array(words + 2));
  const parts: Int32Array[] = Array.from({ length: AT_ONCE }, () => none);
  return (y) => {
    for (const [place, rows] of taken.entries()) {
      const reached = all[place]!;
      for (let first = 0; first < rows.length || first === 0; first += AT_ONCE) {
        for (let i = 0; i < AT_ONCE; i++) {
          const row = rows[first + i];
          parts[i] = row === undefined ? none : smeared(y + row.dy)[row.span]!;
        }
        unite(parts, first === 0 ? none : reached, reached);
      }
      reached[words] = reached[words]! & lastUsed;
    }
    return all;
  };
}

function isBlank(words: Int32Array): boolean {
  for (let w = 0; w < words.length; w++) if (words[w] !== 0) return false;
  return true;
}

/** Writes `base` and the row moved by every one of `steps`, all laid over each other, into `into`. */
function smear(row: Int32Array, base: Int32Array, steps: readonly number[], into: Int32Array): void {
  into.set(base);
  for (const dx of steps) {
    if (dx > 0) stepLeft(row, dx, into);
    else stepRight(row, -dx, into);
  }
}

function stepLeft(row: Int32Array, by: number, into: Int32Array): void {
  const end = into.length - 1;
  let here = row[1]!;
  for (let w = 1; w < end; w++) {
    const after = row[w + 1]!;
    into[w] = into[w]! | (here << by) | (after >>> (32 - by));
    here = after;
  }
}

function stepRight(row: Int32Array, by: number, into: Int32Array): void {
  const end = into.length - 1;
  let before = row[0]!;
  for (let w = 1; w < end; w++) {
    const here = row[w]!;
    into[w] = into[w]! | (here >>> by) | (before << (32 - by));
    before = here;
  }
}

/** Lays four rows over `under`. */
function unite(parts: readonly Int32Array[], under: Int32Array, into: Int32Array): void {
  const [a, b, c, d] = parts as [Int32Array, Int32Array, Int32Array, Int32Array];
  for (let w = 0; w < into.length; w++) into[w] = under[w]! | a[w]! | b[w]! | c[w]! | d[w]!;
}
