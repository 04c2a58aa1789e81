import type { Bitmap } from '../bitmap.ts';
import type { Labels } from './contract.ts';
import { FIRST_STEP, inwards, openList, VALUE } from './inwards.ts';

/** What borders are to an ink that spreads: nothing, where it comes from, where it is not to come. */
const NONE = 0;
const COMES = 1;
const STOPS = 2;
/** Pixels near a meeting. */
const NEAR = 8;
/** Wedges that come to a meeting at half a right angle and more are covered up to their middle. */
const REACHES = 2;

/** A tie is won by what stops. */
const STOPS_WINS = Uint8Array.from({ length: 256 }, (_, i) => ((i & VALUE & ~NEAR) === STOPS ? 1 : 0));
const NOBODY_WINS = new Uint8Array(256);

/** Pixels of all squares of four in which three labels or more meet, noted in `seen`. */
function meetings({ widthPx, heightPx, data }: Labels, seen: Uint8Array): Int32Array {
  const found = openList();
  for (let y = 1; y < heightPx; y++)
    for (let x = 1, at = y * widthPx + 1; x < widthPx; x++, at++) {
      const [a, b, c, d] = [data[at - widthPx - 1]!, data[at - widthPx]!, data[at - 1]!, data[at]!];
      // two pairs of one label each, or three of one, are no more than two labels
      if ((a === b || a === c || a === d) && (b === c || b === d || c === d || (a === b && c === d)))
        continue;
      if (new Set([a, b, c, d]).size < 3) continue;
      for (const pixel of [at - widthPx - 1, at - widthPx, at - 1, at]) {
        if (seen[pixel] === 0) found.add(pixel);
        seen[pixel] = FIRST_STEP | NEAR;
      }
    }
  return found.all();
}

/**
 * What each border is to an ink that spreads under some labels: those that it spreads under count as one, and another ink
 * that is hidden by the same label is no hindrance; bare paper is.
 */
function bordersFor(
  labels: number,
  spreads: (own: number, other: number) => boolean,
  ink: number,
): Uint8Array {
  const borders = new Uint8Array(labels * labels);
  for (let own = 0; own < labels; own++)
    for (let other = 0; other < labels; other++)
      if (other !== own && spreads(own, ink) && !spreads(other, ink))
        borders[own * labels + other] = other === ink ? COMES : spreads(own, other) ? NONE : STOPS;
  return borders;
}

/**
 * Where three labels meet, each pixel belonging to its nearest border leaves corners bare of inks that are hidden there: near
 * such places every ink spreads as if it were alone. Changes the plates and returns how many pixels each got more; `seen`
 * is overwritten.
 */
export function spreadAtMeetings(
  labels: Labels,
  labelCount: number,
  spreads: (own: number, other: number) => boolean,
  spreadPx: number,
  plates: readonly Bitmap[],
  seen: Uint8Array,
): Int32Array {
  const { widthPx, heightPx, data } = labels;
  const more = new Int32Array(plates.length);
  seen.fill(0);
  const from = meetings(labels, seen);
  const near = openList();
  const round = { reach: REACHES * spreadPx, wins: NOBODY_WINS, only: 0 };
  inwards(labels, from, round, seen, (pixels) => {
    for (let i = 0; i < pixels.length; i++) near.add(pixels[i]!);
  });
  const places = near.all();
  for (const [index, { data: bits, strideBytes }] of plates.entries()) {
    const borders = bordersFor(labelCount, spreads, index + 1);
    const begun = openList();
    for (let i = 0; i < places.length; i++) {
      const at = places[i]!;
      seen[at] = NEAR;
    }
    for (let i = 0; i < places.length; i++) {
      const at = places[i]!;
      const row = data[at]! * labelCount;
      const x = at % widthPx;
      let border = NONE;
      if (x > 0) border |= borders[row + data[at - 1]!]!;
      if (x < widthPx - 1) border |= borders[row + data[at + 1]!]!;
      if (at >= widthPx) border |= borders[row + data[at - widthPx]!]!;
      if (at < widthPx * (heightPx - 1)) border |= borders[row + data[at + widthPx]!]!;
      if (border === NONE) continue;
      seen[at] = FIRST_STEP | NEAR | (border & STOPS ? STOPS : COMES);
      begun.add(at);
    }
    const way = { reach: spreadPx, wins: STOPS_WINS, only: NEAR };
    inwards(labels, begun.all(), way, seen, (pixels) => {
      for (let i = 0; i < pixels.length; i++) {
        const at = pixels[i]!;
        if ((seen[at]! & VALUE & ~NEAR) !== COMES) continue;
        const x = at % widthPx;
        const byte = ((at - x) / widthPx) * strideBytes + (x >> 3);
        const bit = 0x80 >> (x & 7);
        if ((bits[byte]! & bit) === 0) more[index] = more[index]! + 1;
        bits[byte] = bits[byte]! | bit;
      }
    });
  }
  return more;
}
