import { type Bitmap, countWord } from '../bitmap.ts';
import { coversWhole, neighboursOf, type Offset, type SpotRegion, type SpotShape } from './regions.ts';
import { regionUnits } from './units.ts';
import { lastWordMask, readRowWords, wordsFor } from './words.ts';

/** One region: the words of an earlier one (−1: of the pixels that cover all) and what is added to them. */
interface Step {
  readonly parent: number;
  readonly extras: readonly number[];
  readonly units: number;
}

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
  const solid = steps.reduce((sum, { units }) => sum + units, 0);
  const reachY = Math.max(0, ...near.map(({ dy }) => dy));

  return (map: Bitmap, fromRow: number, toRow: number): number => {
    const words = wordsFor(map.widthPx);
    const row = (): Int32Array => new Int32Array(words + 2);
    const core = row();
    const any = row();
    const mixed = row();
    const mixedCore = row();
    const reached = rest.map(row);
    const results = steps.map(row);
    const ring = Array.from({ length: 2 * reachY + 1 }, row);
    for (let dy = -reachY; dy < reachY; dy++) readRowWords(map, fromRow + dy, ring[reachY + dy]!);
    const used = row().fill(-1);
    used[words] = lastWordMask(map.widthPx);
    let total = 0;
    for (let y = fromRow; y < toRow; y++) {
      readRowWords(map, y + reachY, ring[2 * reachY]!);
      core.fill(0);
      for (const { dx, dy } of always) addShifted(ring[reachY + dy]!, dx, core);
      any.fill(0);
      for (const near of ring) addShifted(near, 0, any);
      let count = 0;
      for (let w = 1; w <= words; w++) {
        if ((core[w]! & used[w]!) === used[w]) total += countWord(used[w]!) * solid;
        else if ((any[w - 1]! | any[w]! | any[w + 1]!) !== 0) mixed[count++] = w;
      }
      if (count > 0) {
        gather(core, 0, mixed, used, count, mixedCore);
        for (const [k, { dx, dy }] of rest.entries()) {
          gather(ring[reachY + dy]!, dx, mixed, used, count, reached[k]!);
        }
        for (const [i, { parent, extras, units }] of steps.entries()) {
          total += units * countUnion(results[parent] ?? mixedCore, extras, reached, results[i]!, count);
        }
      }
      ring.push(ring.shift()!);
    }
    return total;
  };
}

/** Word `w` of a row, made to hold for every pixel the one `dx` to its right; −31 ≤ dx ≤ 31, and the words beside it must be there. */
export function shifted(row: Int32Array, w: number, dx: number): number {
  if (dx === 0) return row[w]!;
  if (dx > 0) return (row[w]! << dx) | (row[w + 1]! >>> (32 - dx));
  return (row[w]! >>> -dx) | (row[w - 1]! << (32 + dx));
}

/** Adds to every word of `into` the pixels `dx` to the right in `row`. */
function addShifted(row: Int32Array, dx: number, into: Int32Array): void {
  for (let w = 1; w < into.length - 1; w++) into[w] = into[w]! | shifted(row, w, dx);
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
  for (let j = 0; j < count; j++) {
    const w = at[j]!;
    into[j] = shifted(row, w, dx) & used[w]!;
  }
}

/** Writes the union of `parent` and the named words, and counts it; the last OR and the count share a loop. */
function countUnion(
  parent: Int32Array,
  extras: readonly number[],
  words: readonly Int32Array[],
  union: Int32Array,
  length: number,
): number {
  let from = parent;
  for (let i = 0; i < extras.length - 1; i++) {
    const more = words[extras[i]!]!;
    for (let j = 0; j < length; j++) union[j] = from[j]! | more[j]!;
    from = union;
  }
  const last = words[extras[extras.length - 1] ?? -1] ?? from;
  let count = 0;
  for (let j = 0; j < length; j++) {
    const word = from[j]! | last[j]!;
    union[j] = word;
    count += countWord(word);
  }
  return count;
}
