import { burkes } from './burkes.ts';
import type { DiffusionKernel } from './contract.ts';
import { floydSteinberg } from './floyd-steinberg.ts';
import { jarvisJudiceNinke } from './jarvis-judice-ninke.ts';
import { ostromoukhov } from './ostromoukhov.ts';
import { sierra2, sierra3, sierraLite } from './sierra.ts';
import { stucki } from './stucki.ts';
import { zhouFang } from './zhou-fang.ts';

/** Every kernel by name, in the order shown to people. */
export const kernels = {
  'floyd-steinberg': floydSteinberg,
  'jarvis-judice-ninke': jarvisJudiceNinke,
  stucki,
  burkes,
  'sierra-3': sierra3,
  'sierra-2': sierra2,
  'sierra-lite': sierraLite,
  ostromoukhov,
  'zhou-fang': zhouFang,
} as const satisfies Record<string, DiffusionKernel>;

/** Name of a kernel, as job files and `--kernel` have it. */
export type KernelName = keyof typeof kernels;
/** All of them, in the order of the registry. */
export const kernelNames = Object.keys(kernels) as [KernelName, ...KernelName[]];
