import type { PictureKind } from '../core/picture/kind.ts';
import type { ScreenAdvice } from '../core/processes/contract.ts';
import { type ProcessKind, processes } from '../core/processes/index.ts';

/** What the choice of a screen hangs on. */
export interface ScreenQuestion {
  readonly process: ProcessKind;
  readonly picture: PictureKind;
  /** Mark of one firing, in plate pixels. */
  readonly spotPx: number;
  /** Every source pixel becomes one plate pixel. */
  readonly oneToOne: boolean;
  /** The screen that was asked for by name, if any. */
  readonly askedScreen?: string;
}

export interface ScreenChoice extends ScreenAdvice {
  /** The picture's dots should be taken out before anything else. */
  readonly descreen: boolean;
}

/** Single pixels hold where the spot is no wider than the pitch; a twentieth is within what spots are measured to. */
const SINGLE_PIXEL_SPOT = 1.05;

/** Chooses a screen by process, picture and spot, and says why. What was asked for by name is never overruled. */
export function chooseScreen({
  process,
  picture,
  spotPx,
  oneToOne,
  askedScreen,
}: ScreenQuestion): ScreenChoice {
  const { screenFor } = processes[process];
  const passes = picture.kind === 'screened' && picture.twoLevel && oneToOne;
  const descreen = picture.screen !== null && !passes;
  if (askedScreen !== undefined) return { screen: askedScreen, why: 'asked for by name', descreen };
  if (passes) return { screen: 'threshold', why: DOTS_PASS, descreen };
  const single = spotPx <= SINGLE_PIXEL_SPOT ? screenFor.singlePixels : null;
  if (single && picture.kind === 'tone') return { ...single, descreen };
  return { ...screenFor[picture.kind], descreen };
}

const DOTS_PASS = 'the picture is screened already and keeps its size: its dots pass as they are';
