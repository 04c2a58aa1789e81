import { bayer } from './bayer.ts';
import { bluenoise } from './bluenoise.ts';
import { cell } from './cell.ts';
import type { AnyScreenDef } from './contract.ts';
import { dot } from './dot.ts';
import { errordiffusion } from './errordiffusion.ts';
import { grain } from './grain.ts';
import { line } from './line.ts';
import { none } from './none.ts';
import { threshold } from './threshold.ts';

/** Every screen by name, in the order shown to people. */
export const screens = {
  cell,
  grain,
  dot,
  line,
  bluenoise,
  errordiffusion,
  bayer,
  threshold,
  none,
} as const satisfies Record<string, AnyScreenDef>;

/** Name of a screen, as job files and `--screen` have it. */
export type ScreenKind = keyof typeof screens;
