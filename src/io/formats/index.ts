import type { FormatDef } from './contract.ts';
import { png } from './png.ts';
import { tiff } from './tiff.ts';

/** Every format a finished plate can be written in. */
export const formats = { png, tiff } as const satisfies Record<string, FormatDef>;

export type FormatKind = keyof typeof formats;
