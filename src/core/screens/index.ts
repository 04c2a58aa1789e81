import { bayer } from './bayer.ts';
import type { ScreenDef } from './contract.ts';
import { errordiffusion } from './errordiffusion.ts';
import { threshold } from './threshold.ts';

/** Every screen by name, in the order shown to people. */
export const screens = { errordiffusion, bayer, threshold } as const satisfies Record<string, ScreenDef>;

export type ScreenKind = keyof typeof screens;
