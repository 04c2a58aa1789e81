import type { AnySeparation } from './contract.ts';
import { fourcolour } from './fourcolour.ts';
import { inks } from './inks.ts';
import { key } from './key.ts';
import { pieces } from './pieces.ts';
import { reduction } from './reduction.ts';
import { tones } from './tones.ts';

/** Every way to make a set of plates, in the order shown to people. */
export const separations = { key, tones, fourcolour, inks, reduction, pieces } as const satisfies Record<
  string,
  AnySeparation
>;

/** Name of a method, as job files and `--by` have it. */
export type SeparationKind = keyof typeof separations;
