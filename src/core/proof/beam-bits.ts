import type { Bitmap } from '../bitmap.ts';
import type { SpotShape } from '../spot/regions.ts';
import { lastWordMask, readRowWords, wordsFor } from '../spot/words.ts';

/** Where in a pixel it is asked whether the beam reaches: on a turned square, so that no two lie in one row or column. */
const PLACES = [
  [-0.375, -0.125],
  [0.125, -0.375],
  [0.375, 0.125],
  [-0.125, 0.375],
] as const;

/** Pixels of row dy that reach a place: those from `from` to `to` to its right. */
interface Run {
  readonly dy: number;
  readonly from: number;
  readonly to: number;
}

/**
 * The neighbours whose marks reach a place: the nearest, as many as make the area of a mark right over all four
 * places, which a plain distance would miss by a twentieth. A run for each row that has any.
 */
function runsFor({ spotPx, beam }: SpotShape, [px, py]: readonly [number, number], index: number): Run[] {
  const radius = spotPx / 2;
  const sweepPx = beam === 'sweep' ? 1 : 0;
  const areaPx = Math.PI * radius * radius + spotPx * sweepPx;
  const count = Math.floor((Math.round(PLACES.length * areaPx) + index) / PLACES.length);
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

/** Planes of bits that say of every pixel whether it is etched, one for each place that is asked for in a pixel. */
export interface BeamBits {
  readonly places: number;
  /** Row `y` in words from index 1, as `readRowWords` has them; good until another row is asked for. */
  row(y: number, place: number): Int32Array;
}

/** The pixels as they are fired. */
function firedBits(map: Bitmap): BeamBits {
  const words = new Int32Array(wordsFor(map.widthPx) + 2);
  return {
    places: 1,
    row(y) {
      readRowWords(map, y, words);
      return words;
    },
  };
}

/** A row of the plate moved by all steps of each run that some place asks for. */
interface Smeared {
  y: number;
  blank: boolean;
  readonly runs: readonly Int32Array[];
}

/**
 * What a beam etches, looked at in four places of each pixel; words of 32 pixels at a time. Each row is smeared once
 * for all places and all rows about it.
 */
function etchedBits(map: Bitmap, shape: SpotShape): BeamBits {
  const words = wordsFor(map.widthPx);
  const lastUsed = lastWordMask(map.widthPx);
  const places = PLACES.map((place, i) => runsFor(shape, place, i));
  const keyOf = ({ from, to }: Run): string => `${from} ${to}`;
  const spans = [...new Map(places.flat().map((run) => [keyOf(run), run])).values()];
  const spanOf = new Map(spans.map((span, i) => [keyOf(span), i]));
  const taken = places.map((runs) => runs.map((run) => ({ dy: run.dy, span: spanOf.get(keyOf(run))! })));
  const reach = Math.max(0, ...places.flat().map(({ dy }) => Math.abs(dy)));
  const plain = new Int32Array(words + 2);
  const kept = Array.from({ length: 2 * reach + 1 }, (): Smeared => {
    const runs = spans.map(() => new Int32Array(words + 2));
    return { y: Number.NaN, blank: true, runs };
  });
  const smeared = (y: number): Smeared => {
    const slot = kept[((y % kept.length) + kept.length) % kept.length]!;
    if (slot.y === y) return slot;
    slot.y = y;
    readRowWords(map, y, plain);
    slot.blank = isBlank(plain);
    if (!slot.blank) for (const [i, span] of spans.entries()) smear(plain, span, words, slot.runs[i]!);
    return slot;
  };
  const reached = new Int32Array(words + 2);
  return {
    places: PLACES.length,
    row(y, place) {
      reached.fill(0);
      for (const { dy, span } of taken[place]!) {
        const { blank, runs } = smeared(y + dy);
        if (!blank) orInto(runs[span]!, reached);
      }
      reached[words] = reached[words]! & lastUsed;
      return reached;
    },
  };
}

function isBlank(words: Int32Array): boolean {
  for (let w = 0; w < words.length; w++) if (words[w] !== 0) return false;
  return true;
}

/** Writes the row, moved by every step of a run and laid over itself, into `into`. */
function smear(row: Int32Array, { from, to }: Run, words: number, into: Int32Array): void {
  for (let w = 1; w <= words; w++) {
    const [before, here, after] = [row[w - 1]!, row[w]!, row[w + 1]!];
    let all = 0;
    if ((before | here | after) !== 0) {
      if (from <= 0 && to >= 0) all = here;
      for (let dx = from > 1 ? from : 1; dx <= to; dx++) all |= (here << dx) | (after >>> (32 - dx));
      for (let dx = to < -1 ? -to : 1; dx <= -from; dx++) all |= (here >>> dx) | (before << (32 - dx));
    }
    into[w] = all;
  }
}

function orInto(from: Int32Array, into: Int32Array): void {
  for (let w = 0; w < into.length; w++) into[w] = into[w]! | from[w]!;
}

/** Bits of what a plate's beam etches; null leaves the pixels as they are fired. */
export const openBeamBits = (map: Bitmap, shape: SpotShape | null): BeamBits =>
  shape === null ? firedBits(map) : etchedBits(map, shape);
