import type { DiffusionKernel } from './contract.ts';
import { floydSteinberg } from './floyd-steinberg.ts';
import { ostromoukhov } from './ostromoukhov.ts';

/** Every kernel by name, in the order shown to people. */
export const kernels = {
  'floyd-steinberg': floydSteinberg,
  ostromoukhov,
} as const satisfies Record<string, DiffusionKernel>;

export type KernelName = keyof typeof kernels;
export const kernelNames = Object.keys(kernels) as [KernelName, ...KernelName[]];
