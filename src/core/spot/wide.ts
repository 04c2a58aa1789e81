import { type Bitmap, countWord } from '../bitmap.ts';
import { coversWhole, neighboursOf, type Offset, type SpotRegion, type SpotShape } from './regions.ts';
import { openUnions, type Step, type Unions } from './unions.ts';
import { regionUnits } from './units.ts';
import { lastWordMask, readRowWords, wordsFor } from './words.ts';

/** Orders the regions so that each starts from the fullest one before it and adds few neighbours. */
export function planSteps(regions: readonly SpotRegion[], rest: readonly Offset[]): readonly Step[] {
  const units = regionUnits(regions);
  const slotOf = ({ dx, dy }: Offset): number => rest.findIndex((o) => o.dx === dx && o.dy === dy);
  const lists = regions
    .map(({ by }, i) => ({ slots: new Set(by.map(slotOf).filter((slot) => slot >= 0)), units: units[i]! }))
    .sort((a, b) => a.slots.size - b.slots.size);
  return lists.map(({ slots, units: own }, i) => {
    let parent = -1;
    for (let j = i - 1; j >= 0 && parent < 0; j--) {
      if (lists[j]!.slots.size < slots.size && [...lists[j]!.slots].every((slot) => slots.has(slot)))
        parent = j;
    }
    const known = lists[parent]?.slots;
    return { parent, extras: [...slots].filter((slot) => !known?.has(slot)), units: own };
  });
}

/**
 * Etched units of the rows [fromRow, toRow) for a mark of any reach: for each region one OR of shifted words and
 * one count. Words that are full or empty are told before that; the others are gathered and done together.
 */
export function openWide(shape: SpotShape, regions: readonly SpotRegion[]) {
  const near = neighboursOf(shape);
  const always = near.filter((offset) => coversWhole(shape, offset));
  const rest = near.filter((offset) => !coversWhole(shape, offset));
  const steps = planSteps(regions, rest);
  const units = steps.map((step) => step.units);
  const reachY = Math.max(0, ...near.map(({ dy }) => dy));

  let unions: Unions | undefined;

  const spot = { always, rest, units, solid: units.reduce((sum, unit) => sum + unit, 0) };

  return (map: Bitmap, fromRow: number, toRow: number): number => {
    const words = wordsFor(map.widthPx);
    const row = (): Int32Array => new Int32Array(words + 2);
    if (unions?.words !== words) unions = openUnions(steps, rest.length, words);
    const used = row().fill(-1);
    used[words] = lastWordMask(map.widthPx);
    const rows = { core: row(), any: row(), mixed: row(), used };
    const ring = Array.from({ length: 2 * reachY + 1 }, row);
    for (let dy = -reachY; dy < reachY; dy++) readRowWords(map, fromRow + dy, ring[reachY + dy]!);
    let total = 0;
    for (let y = fromRow; y < toRow; y++) {
      readRowWords(map, y + reachY, ring[2 * reachY]!);
      total += rowUnits(spot, ring, rows, unions);
      ring.push(ring.shift()!);
    }
    return total;
  };
}

/** A spot made ready: the pixels that cover all, all others, and the units of each region. */
interface WideSpot {
  readonly always: readonly Offset[];
  readonly rest: readonly Offset[];
  readonly units: readonly number[];
  readonly solid: number;
}

/** Rows of words to work in; `used` has the bits of the plate. */
interface Rows {
  readonly core: Int32Array;
  readonly any: Int32Array;
  readonly mixed: Int32Array;
  readonly used: Int32Array;
}

/**
 * Units of the row in the middle of `ring`. Apart from the loop over rows, which is compiled while it runs: what is inlined into that is
 * slower.
 */
function rowUnits(
  { always, rest, units, solid }: WideSpot,
  ring: readonly Int32Array[],
  { core, any, mixed, used }: Rows,
  unions: Unions,
): number {
  const reachY = (ring.length - 1) / 2;
  core.fill(0);
  for (let i = 0; i < always.length; i++) addShifted(ring[reachY + always[i]!.dy]!, always[i]!.dx, core);
  any.fill(0);
  for (let i = 0; i < ring.length; i++) addShifted(ring[i]!, 0, any);
  const count = findMixed(core, any, used, mixed);
  const full = solid * mixed[count]!;
  if (count === 0) return full;
  gather(core, 0, mixed, used, count, unions.always);
  for (let k = 0; k < rest.length; k++)
    gather(ring[reachY + rest[k]!.dy]!, rest[k]!.dx, mixed, used, count, unions.reached[k]!);
  return full + unionUnits(units, unions, count);
}

/** Word `w` of a row, made to hold for every pixel the one `dx` to its right; −31 ≤ dx ≤ 31, and the words beside it must be there. */
export function shifted(row: Int32Array, w: number, dx: number): number {
  if (dx === 0) return row[w]!;
  if (dx > 0) return (row[w]! << dx) | (row[w + 1]! >>> (32 - dx));
  return (row[w]! >>> -dx) | (row[w - 1]! << (32 + dx));
}

/** Adds to every word of `into` the pixels `dx` to the right in `row`. */
function addShifted(row: Int32Array, dx: number, into: Int32Array): void {
  const words = into.length - 2;
  if (dx === 0) for (let w = 1; w <= words; w++) into[w] = into[w]! | row[w]!;
  else {
    const { first, left, right } = shiftOf(dx);
    for (let w = 1; w <= words; w++)
      into[w] = into[w]! | (row[w + first]! << left) | (row[w + first + 1]! >>> right);
  }
}

/**
 * Lists the words of which some pixels may be etched in part, and tells how many. Behind them stands the number of pixels in words
 * that `core` fills.
 */
function findMixed(core: Int32Array, any: Int32Array, used: Int32Array, mixed: Int32Array): number {
  let count = 0;
  let full = 0;
  for (let w = 1; w < used.length - 1; w++) {
    const inside = used[w]!;
    if ((core[w]! & inside) === inside) full += countWord(inside);
    else if ((any[w - 1]! | any[w]! | any[w + 1]!) !== 0) mixed[count++] = w;
  }
  mixed[count] = full;
  return count;
}

function unionUnits(units: readonly number[], unions: Unions, count: number): number {
  let sum = 0;
  for (let i = 0; i < units.length; i++) sum += units[i]! * unions.count(i, count);
  return sum;
}

/** Collects the pixels `dx` to the right of the words named in `at`. */
function gather(
  row: Int32Array,
  dx: number,
  at: Int32Array,
  used: Int32Array,
  count: number,
  into: Int32Array,
): void {
  if (dx === 0) for (let j = 0; j < count; j++) into[j] = row[at[j]!]! & used[at[j]!]!;
  else {
    const { first, left, right } = shiftOf(dx);
    for (let j = 0; j < count; j++) {
      const w = at[j]!;
      into[j] = ((row[w + first]! << left) | (row[w + first + 1]! >>> right)) & used[w]!;
    }
  }
  // vectors count four words at a time
  into.fill(0, count, count + 3);
}

/** What `shifted` does where `dx` is not 0: two words, from the one `first` to the right on, and by how much each is shifted. */
function shiftOf(dx: number): { first: number; left: number; right: number } {
  const left = dx & 31;
  return { first: dx < 0 ? -1 : 0, left, right: 32 - left };
}
