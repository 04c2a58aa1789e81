import type { PictureKind } from '../core/picture/kind.ts';
import type { ScreenAdvice } from '../core/processes/contract.ts';
import { type ProcessKind, processes } from '../core/processes/index.ts';

/** What the choice of a screen hangs on. */
export interface ScreenQuestion {
  readonly process: ProcessKind;
  readonly picture: PictureKind;
  /** Mark of one firing, in plate pixels. */
  readonly spotPx: number;
  /** Narrowest mark and land that hold on the sheet, in plate pixels; 0 where nothing is known. */
  readonly minEtchedPx: number;
  readonly minKeptPx: number;
  /** Every source pixel becomes one plate pixel, and nobody wants its dots taken out. */
  readonly keepsPixels: boolean;
}

export interface ScreenChoice extends ScreenAdvice {
  /** The picture's own dots become the plate's, bit for bit: nothing may narrow them either. */
  readonly passes: boolean;
}

/** A twentieth is within what spots are measured to. */
const SLACK = 1.05;

/**
 * Single pixels hold where the spot is no wider than the pitch, and the sheet holds a lone mark as wide as the spot and a
 * land of one pixel, which two marks beside it narrow or leave wider.
 */
const singlePixelsHold = ({ spotPx, minEtchedPx, minKeptPx }: ScreenQuestion): boolean =>
  spotPx <= SLACK && minEtchedPx <= spotPx * SLACK && minKeptPx <= (2 - spotPx) * SLACK;

/** Chooses a screen by process, picture and spot, and says why. */
export function chooseScreen(question: ScreenQuestion): ScreenChoice {
  const { process, picture, keepsPixels } = question;
  const { screenFor } = processes[process];
  if (picture.kind === 'screened' && picture.twoLevel && keepsPixels)
    return { screen: 'threshold', why: DOTS_PASS, passes: true };
  const single = singlePixelsHold(question) ? screenFor.singlePixels : null;
  if (single && picture.kind === 'tone') return { ...single, passes: false };
  return { ...screenFor[picture.kind], passes: false };
}

const DOTS_PASS = 'the picture is screened already and keeps its size: its dots pass as they are';
