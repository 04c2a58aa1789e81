import { bmp } from './bmp.ts';
import type { FormatDef } from './contract.ts';
import { pdf } from './pdf.ts';
import { png } from './png.ts';
import { tiff } from './tiff.ts';

/** Every format a finished plate can be written in. */
export const formats = { png, tiff, bmp, pdf } as const satisfies Record<string, FormatDef>;

export type FormatKind = keyof typeof formats;
