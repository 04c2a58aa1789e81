import type { Light } from '../proof/colour.ts';
import { rowStream } from '../rng.ts';
import { decodeSrgb } from '../srgb.ts';
import { apart, type Lab, labOf, lightnessOf } from './lab.ts';

const LIGHT = Float64Array.from({ length: 256 }, (_, code) => decodeSrgb(code / 255));

const lightOf = (red: number, green: number, blue: number): Light => [
  LIGHT[red]!,
  LIGHT[green]!,
  LIGHT[blue]!,
];

/** Steps of each channel in the table: fine enough that only colours half-way between two inks can fall otherwise. */
const BITS = 6;

/** Place of a colour in the table of `nearestTable`; codes 0 … 255. */
export const paletteCell = (red: number, green: number, blue: number): number =>
  ((red >> (8 - BITS)) << (2 * BITS)) | ((green >> (8 - BITS)) << BITS) | (blue >> (8 - BITS));

/** For every cell of colours the number of the nearest of these, by distance in L*a*b*; the first of two as near. */
export function nearestTable(colours: readonly Light[]): Uint8Array {
  const labs = colours.map(labOf);
  const steps = 1 << BITS;
  const middle = (step: number): number => (step << (8 - BITS)) + (1 << (7 - BITS));
  const table = new Uint8Array(steps ** 3);
  for (let red = 0, at = 0; red < steps; red++)
    for (let green = 0; green < steps; green++)
      for (let blue = 0; blue < steps; blue++, at++)
        table[at] = nearest(labOf(lightOf(middle(red), middle(green), middle(blue))), labs);
  return table;
}

function nearest(lab: Lab, labs: readonly Lab[]): number {
  let best = 0;
  let distance = Number.POSITIVE_INFINITY;
  for (let i = 0; i < labs.length; i++) {
    const here = apart(lab, labs[i]!);
    if (here < distance) {
      distance = here;
      best = i;
    }
  }
  return best;
}

const ROUNDS = 40;
/** A colour that moves by less has come to rest. */
const AT_REST = 1e-4;
/** Shades of one colour within this of each other count together when a group is told by its commonest. */
const SHADE_BITS = 4;

/**
 * The `count` inks that a picture seems to be made of, from light to dark, besides the paper, which is given and stays:
 * k-means in L*a*b* (Lloyd 1982) from seeds drawn by their distance (Arthur & Vassilvitskii 2007; both from memory).
 * `rgb` holds samples of the picture, three bytes each. A group is told by its commonest shade, since its mean holds the
 * soft edges of all its neighbours. Fewer come back where the picture has fewer colours.
 */
export function inksOf(rgb: Uint8Array, count: number, paper: Light, seed: number): string[] {
  const samples = rgb.length / 3;
  const labs = Array.from({ length: samples }, (_, i) =>
    labOf(lightOf(rgb[3 * i]!, rgb[3 * i + 1]!, rgb[3 * i + 2]!)),
  );
  const centres = seeds(labs, count, labOf(paper), seed);
  const whose = new Uint8Array(samples);
  for (let round = 0; round < ROUNDS; round++) {
    for (let i = 0; i < samples; i++) whose[i] = nearest(labs[i]!, centres);
    if (moveCentres(centres, labs, whose) < AT_REST) break;
  }
  return centres
    .flatMap((_, centre) => (centre === 0 ? [] : commonest(rgb, whose, centre)))
    .sort((one, other) => lightnessOf(other.light) - lightnessOf(one.light))
    .map(({ colour }) => colour);
}

function seeds(labs: readonly Lab[], count: number, paper: Lab, seed: number): Lab[] {
  const next = rowStream(seed, 0, 0);
  const centres: Lab[] = [paper];
  const distance = Float64Array.from(labs, (lab) => apart(lab, paper));
  while (centres.length <= count) {
    let sum = 0;
    for (let i = 0; i < distance.length; i++) sum += distance[i]!;
    if (sum === 0) break;
    let lot = (next() / 2 ** 32) * sum;
    let pick = 0;
    for (; pick < distance.length - 1; pick++) {
      lot -= distance[pick]!;
      if (lot < 0) break;
    }
    const centre = labs[pick]!;
    centres.push(centre);
    for (let i = 0; i < distance.length; i++) distance[i] = Math.min(distance[i]!, apart(labs[i]!, centre));
  }
  return centres;
}

/** Moves each centre but the paper to the mean of what is nearest to it; returns the largest squared step. */
function moveCentres(centres: Lab[], labs: readonly Lab[], whose: Uint8Array): number {
  let most = 0;
  for (let centre = 1; centre < centres.length; centre++) {
    const sum = [0, 0, 0];
    let count = 0;
    for (let i = 0; i < labs.length; i++)
      if (whose[i] === centre) {
        count++;
        for (let k = 0; k < 3; k++) sum[k] = sum[k]! + labs[i]![k]!;
      }
    if (count === 0) continue;
    const moved: Lab = [sum[0]! / count, sum[1]! / count, sum[2]! / count];
    most = Math.max(most, apart(moved, centres[centre]!));
    centres[centre] = moved;
  }
  return most;
}

/** The commonest shade of a group: the mean of its fullest cell of colours. Nothing where the group is empty. */
function commonest(rgb: Uint8Array, whose: Uint8Array, centre: number): { colour: string; light: Light }[] {
  const shift = 8 - SHADE_BITS;
  const count = new Int32Array(1 << (3 * SHADE_BITS));
  const sums = new Float64Array(3 * count.length);
  let best = -1;
  for (let i = 0; i < whose.length; i++) {
    if (whose[i] !== centre) continue;
    const [red, green, blue] = [rgb[3 * i]!, rgb[3 * i + 1]!, rgb[3 * i + 2]!];
    const cell = ((red >> shift) << (2 * SHADE_BITS)) | ((green >> shift) << SHADE_BITS) | (blue >> shift);
    count[cell] = count[cell]! + 1;
    sums[3 * cell] = sums[3 * cell]! + red;
    sums[3 * cell + 1] = sums[3 * cell + 1]! + green;
    sums[3 * cell + 2] = sums[3 * cell + 2]! + blue;
    if (best < 0 || count[cell]! > count[best]!) best = cell;
  }
  if (best < 0) return [];
  const code = (k: number): number => Math.round(sums[3 * best + k]! / count[best]!);
  const [red, green, blue] = [code(0), code(1), code(2)];
  const hex = [red, green, blue].map((part) => part.toString(16).padStart(2, '0')).join('');
  return [{ colour: `#${hex}`, light: lightOf(red, green, blue) }];
}
