import type { OutlineDef } from './contract.ts';
import { ellipse } from './ellipse.ts';
import { rectangle } from './rectangle.ts';
import { rounded } from './rounded.ts';
import { shape } from './shape.ts';

/** Every kind of outline by name, in the order shown to people. */
export const outlines = {
  rectangle,
  rounded,
  ellipse,
  shape,
} as const satisfies Record<string, Pick<OutlineDef, 'kind' | 'summary' | 'traced'>>;

/** Name of an outline, as job files and `--outline` have it. */
export type OutlineKind = keyof typeof outlines;
