import { type Bitmap, countWord } from '../bitmap.ts';
import { pixelUnits } from './near.ts';
import { coversWhole, neighboursOf, reachOf, type SpotShape, spotRegions } from './regions.ts';
import { UNITS_PER_PX } from './units.ts';
import { planSteps, shifted } from './wide.ts';
import { lastWordMask, readRowWords, wordsFor } from './words.ts';

/** Writes what the beam etches of every pixel of row `y` into `into`, 0…1; `into` is as long as the row. */
export type EtchedRow = (map: Bitmap, y: number, into: Float32Array) => void;

/**
 * Gets ready to say of single pixels what a fired pattern etches: the same areas as `openSpot`, not summed.
 * Null is a beam that etches just its pixels.
 */
export function openEtchedRow(shape: SpotShape | null): EtchedRow {
  if (shape === null) return bitsRow();
  const { x, y } = reachOf(shape);
  return x <= 1 && y <= 1 ? nearRow(shape) : wideRow(shape);
}

function bitsRow(): EtchedRow {
  return ({ data, strideBytes }, y, into) => {
    const at = y * strideBytes;
    for (let x = 0; x < into.length; x++) into[x] = (data[at + (x >> 3)]! >> (7 - (x & 7))) & 1;
  };
}

/** Marks that reach no farther than the eight pixels around: a table of their 512 states answers. */
function nearRow(shape: SpotShape): EtchedRow {
  const share = Float32Array.from(pixelUnits(spotRegions(shape)), (units) => units / UNITS_PER_PX);
  let words = 0;
  let rows: Int32Array[] = [];
  return (map, y, into) => {
    if (words !== wordsFor(map.widthPx)) {
      words = wordsFor(map.widthPx);
      rows = [-1, 0, 1].map(() => new Int32Array(words + 2));
    }
    const [above, here, below] = rows as [Int32Array, Int32Array, Int32Array];
    readRowWords(map, y - 1, above);
    readRowWords(map, y, here);
    readRowWords(map, y + 1, below);
    for (let w = 1; w <= words; w++) {
      const from = (w - 1) << 5;
      const to = Math.min(from + 32, into.length);
      const [a, b, c] = [above[w]!, here[w]!, below[w]!];
      const left = (above[w - 1]! | here[w - 1]! | below[w - 1]!) & 1;
      const right = (above[w + 1]! | here[w + 1]! | below[w + 1]!) >>> 31;
      if ((a | b | c | left | right) === 0) {
        into.fill(0, from, to);
        continue;
      }
      // three pixels of each row, moved along by one pixel at a time
      let top = ((above[w - 1]! & 1) << 1) | (a >>> 31);
      let middle = ((here[w - 1]! & 1) << 1) | (b >>> 31);
      let bottom = ((below[w - 1]! & 1) << 1) | (c >>> 31);
      for (let x = from, shift = 30; x < to; x++, shift--) {
        const nextA = shift >= 0 ? (a >>> shift) & 1 : above[w + 1]! >>> 31;
        const nextB = shift >= 0 ? (b >>> shift) & 1 : here[w + 1]! >>> 31;
        const nextC = shift >= 0 ? (c >>> shift) & 1 : below[w + 1]! >>> 31;
        top = ((top << 1) | nextA) & 7;
        middle = ((middle << 1) | nextB) & 7;
        bottom = ((bottom << 1) | nextC) & 7;
        into[x] = share[(top << 6) | (middle << 3) | bottom]!;
      }
    }
  };
}

/** Marks of any reach: each region in turn gives its area to the pixels that it is etched in. */
function wideRow(shape: SpotShape): EtchedRow {
  const near = neighboursOf(shape);
  const always = near.filter((offset) => coversWhole(shape, offset));
  const rest = near.filter((offset) => !coversWhole(shape, offset));
  const steps = planSteps(spotRegions(shape), rest);
  const solid = steps.reduce((sum, { units }) => sum + units, 0) / UNITS_PER_PX;
  const reach = reachOf(shape).y;
  const unions = new Int32Array(steps.length);
  const units = new Int32Array(32);
  let words = 0;
  let rows: Int32Array[] = [];

  return (map, y, into) => {
    if (words !== wordsFor(map.widthPx)) {
      words = wordsFor(map.widthPx);
      rows = Array.from({ length: 2 * reach + 1 }, () => new Int32Array(words + 2));
    }
    for (let dy = -reach; dy <= reach; dy++) readRowWords(map, y + dy, rows[reach + dy]!);
    for (let w = 1; w <= words; w++) {
      const from = (w - 1) << 5;
      const to = Math.min(from + 32, into.length);
      const used = w === words ? lastWordMask(map.widthPx) : -1;
      let core = 0;
      for (const { dx, dy } of always) core |= shifted(rows[reach + dy]!, w, dx);
      core &= used;
      let any = 0;
      for (const row of rows) any |= row[w - 1]! | row[w]! | row[w + 1]!;
      if (core === used || any === 0) {
        into.fill(any === 0 ? 0 : solid, from, to);
        continue;
      }
      units.fill(0);
      let everywhere = 0;
      for (let i = 0; i < steps.length; i++) {
        const { parent, extras, units: own } = steps[i]!;
        let union = parent < 0 ? core : unions[parent]!;
        for (const k of extras) {
          const { dx, dy } = rest[k]!;
          union |= shifted(rows[reach + dy]!, w, dx);
        }
        unions[i] = union & used;
        // whichever is shorter: to give to the set pixels, or to give to all and take back from the others
        if (countWord(unions[i]!) <= 16) addTo(units, unions[i]!, own);
        else {
          everywhere += own;
          addTo(units, ~union & used, -own);
        }
      }
      for (let x = from; x < to; x++) into[x] = (everywhere + units[x - from]!) / UNITS_PER_PX;
    }
  };
}

/** Adds `amount` to the pixels of a word that are set; the leftmost is the highest bit. */
function addTo(units: Int32Array, word: number, amount: number): void {
  for (let bits = word; bits !== 0; ) {
    const x = Math.clz32(bits);
    units[x] = units[x]! + amount;
    bits &= ~(0x80000000 >>> x);
  }
}
