import type { Beam } from './regions.ts';

/** The spot on its pixel grid, in mm. */
export interface SpotOnPitch {
  readonly spotMm: number;
  readonly pitchMm: number;
  readonly beam: Beam;
}

/**
 * What a mark gains over its pixels along x and y, in mm; kept ground loses as much. Spot less pitch; a beam
 * that moves while it is on gains one pitch more along x. Negative where the spot is smaller than the pitch.
 */
export function spreadMm({ spotMm, pitchMm, beam }: SpotOnPitch): { readonly x: number; readonly y: number } {
  const y = spotMm - pitchMm;
  return { x: beam === 'sweep' ? y + pitchMm : y, y };
}

/** Width that `firedPx` pixels side by side etch, in mm: (n − 1) · pitch + spot for a pulse; `spread` in mm as `spreadMm` has it. */
export const etchedWidthMm = (firedPx: number, pitchMm: number, spread: number): number =>
  firedPx * pitchMm + spread;

/** Width that `unfiredPx` pixels between fired ones leave, in mm: (n + 1) · pitch − spot; nothing is left at 0 or below. */
export const keptWidthMm = (unfiredPx: number, pitchMm: number, spread: number): number =>
  unfiredPx * pitchMm - spread;
