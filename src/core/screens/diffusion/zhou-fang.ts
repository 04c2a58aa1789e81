import type { DiffusionKernel } from './contract.ts';
import { openTriples, type Triple } from './triples.ts';

/** Weights ahead, below and behind, below, at the key levels of the authors' own program (tmed.cpp, April 2003). */
const KEY_TRIPLES: readonly (readonly [level: number, triple: Triple])[] = [
  [0, [13, 0, 5]],
  [1, [1300249, 0, 499250]],
  [2, [214114, 287, 99357]],
  [3, [351854, 0, 199965]],
  [4, [801100, 0, 490999]],
  [10, [704075, 297466, 303694]],
  [22, [46613, 31917, 21469]],
  [32, [47482, 30617, 21900]],
  [40, [45959, 24089, 29950]],
  [44, [43024, 42131, 14826]],
  [64, [36411, 43219, 20369]],
  [72, [38477, 53843, 7678]],
  [77, [40503, 51547, 7948]],
  [85, [35865, 34108, 30026]],
  [95, [34117, 36899, 28983]],
  [102, [35132, 36059, 28807]],
  [107, [16477, 18810, 14712]],
  [112, [33360, 37954, 28685]],
  [127, [35269, 36066, 28664]],
];

/** Strength of the threshold noise at the key levels of the authors' own program, in per cent. */
const KEY_STRENGTHS: readonly (readonly [level: number, percent: number])[] = [
  [0, 0],
  [40, 30],
  [44, 34],
  [64, 50],
  [80, 100],
  [85, 100],
  [95, 17],
  [102, 50],
  [107, 70],
  [112, 79],
  [127, 100],
];

/** Straight lines between key levels, at the levels 0 … 127. */
function between(keys: readonly (readonly [level: number, value: number])[]): number[] {
  return Array.from({ length: 128 }, (_, level) => {
    const after = Math.max(
      1,
      keys.findIndex(([key]) => key >= level),
    );
    const [fromLevel, from] = keys[after - 1]!;
    const [toLevel, to] = keys[after]!;
    return from + ((to - from) * (level - fromLevel)) / (toLevel - fromLevel);
  });
}

const shareKeys = (column: 0 | 1 | 2) =>
  KEY_TRIPLES.map(
    ([level, triple]) => [level, triple[column] / (triple[0] + triple[1] + triple[2])] as const,
  );

const belowShares = between(shareKeys(2));
const behindShares = between(shareKeys(1));

/** Weights for every level, as shares of 1. */
export const zhouFangTriples: readonly Triple[] = between(shareKeys(0)).map((ahead, level) => [
  ahead,
  behindShares[level]!,
  belowShares[level]!,
]);

/** Strength of the noise for every level, in per cent. */
export const zhouFangStrengths: readonly number[] = between(KEY_STRENGTHS);

/**
 * The paper's noise only raises the threshold; ours is laid evenly about the middle at half the reach, which
 * has the same spread and leaves the tone alone.
 */
export const zhouFang: DiffusionKernel = {
  summary: 'weights and threshold noise by tone; fewest worms, a little rough',
  source:
    'B. Zhou and X. Fang, "Improving mid-tone quality of variable-coefficient error diffusion using threshold modulation", ACM TOG 22(3), 2003, pp. 437-444',
  open: (run) => openTriples(zhouFangTriples, run, zhouFangStrengths),
};
