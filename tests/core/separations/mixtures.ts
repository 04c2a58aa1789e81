import { ciede2000 } from '../../../src/core/colour/ciede2000.ts';
import { labInto } from '../../../src/core/colour/lab.ts';
import { type Light, parseColour } from '../../../src/core/proof/colour.ts';
import { type Ink, neugebauer, overprints } from '../../../src/core/proof/overprint.ts';
import { rowStream } from '../../../src/core/rng.ts';
import type { ToneSplit } from '../../../src/core/separations/contract.ts';
import { decodeSrgb, encodeSrgb } from '../../../src/core/srgb.ts';

export const white: Light = [1, 1, 1];

export const transparent = (...colours: string[]): Ink[] =>
  colours.map((colour) => ({ light: parseColour(colour, 'ink'), opaque: false }));

/** Pixels whose colours the inks can give on this paper, to the nearest code: mixtures by chance, the same for each seed. */
export function withinReach(paper: Light, inks: readonly Ink[], count: number, seed: number): Uint8Array {
  const random = rowStream(seed, 0, 0);
  const primaries = overprints(paper, inks);
  const light = new Float64Array(3);
  const rgb = new Uint8Array(3 * count);
  for (let k = 0; k < count; k++) {
    neugebauer(
      inks.map(() => random() / 2 ** 32),
      primaries,
      light,
    );
    for (let i = 0; i < 3; i++) rgb[3 * k + i] = Math.round(255 * encodeSrgb(light[i]!));
  }
  return rgb;
}

export function anyColours(count: number, seed: number): Uint8Array {
  const random = rowStream(seed, 1, 0);
  return Uint8Array.from({ length: 3 * count }, () => random() >>> 24);
}

export function tonesOf(split: ToneSplit, rgb: Uint8Array, inks: number): Uint16Array[] {
  const tones = Array.from({ length: inks }, () => new Uint16Array(rgb.length / 3));
  split(rgb, tones);
  return tones;
}

/** L*, a*, b* of light. */
export function labOf(light: ArrayLike<number>): Float64Array {
  const lab = new Float64Array(3);
  labInto(light[0]!, light[1]!, light[2]!, lab);
  return lab;
}

export const lightOfCode = (rgb: Uint8Array, k: number): number[] =>
  [0, 1, 2].map((i) => decodeSrgb(rgb[3 * k + i]! / 255));

/** ΔE00 of two lights. */
export function differenceOf(one: ArrayLike<number>, other: ArrayLike<number>): number {
  const [p, q] = [labOf(one), labOf(other)];
  return ciede2000(p[0]!, p[1]!, p[2]!, q[0]!, q[1]!, q[2]!);
}

/** Light of what tones of pixel k print, by Demichel and Neugebauer as the proof has them. */
export function printed(
  paper: Light,
  inks: readonly Ink[],
  tones: readonly Uint16Array[],
  k: number,
): Float64Array {
  const light = new Float64Array(3);
  neugebauer(
    tones.map((row) => row[k]! / 65535),
    overprints(paper, inks),
    light,
  );
  return light;
}

export const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
