import { encodeSrgb } from '../srgb.ts';

const CODES = 65_536;

/** sRGB byte of light in steps of 1/65535; finer than a byte even in the blacks. */
const codeOf = Uint8Array.from({ length: CODES }, (_, i) => Math.round(255 * encodeSrgb(i / (CODES - 1))));

/** Steps that light, or a share of ink, is told apart in. */
export const LIGHT_STEPS = CODES - 1;

/** sRGB byte of light in steps of 1/65535; more than white is white. */
export const codeOfLight = (steps: number): number => codeOf[Math.min(LIGHT_STEPS, steps + 0.5) | 0]!;
