import type { CurveFile } from '../../core/calibration/curve-file.ts';
import { num } from '../words.ts';

const NOT = 'not measured';

/** A length with its uncertainty. */
export const lengthWords = (length: CurveFile['spot']): string =>
  length === null ? NOT : `${num(length.mm, 3)} ± ${num(length.plusMinusMm, 3)} mm`;

/** A limit; `beyond` says on which side of the plate's last size it lies where all sizes held. */
export const limitWords = (
  limit: CurveFile['limits']['minWallMm'],
  beyond: 'finer' | 'wider' = 'finer',
): string => (limit?.atEnd ? `${num(limit.mm, 3)} mm or ${beyond}` : lengthWords(limit));

/** What the densities of a curve hang on. */
export const wedgeWords = (wedge: CurveFile['wedge']): string =>
  wedge === null
    ? 'codes taken for sRGB: no wedge of known densities'
    : `by the wedge ${wedge.name}, density ${num(wedge.from, 2)} to ${num(wedge.to, 2)}`;
