import { corner } from './aids/corner.ts';
import { crosses } from './aids/crosses.ts';
import { kento } from './aids/kento.ts';
import { pins } from './aids/pins.ts';
import type { AidDef } from './contract.ts';

/** Every aid by name, in the order shown to people. */
export const aids = { crosses, kento, corner, pins } as const satisfies Record<string, AidDef>;

/** Name of a register aid, as `--register` has it. */
export type AidKind = keyof typeof aids;
