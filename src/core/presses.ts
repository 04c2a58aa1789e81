import { barenDepthMm, rollerDipMm } from './hold/depth.ts';

/** A way of getting ink from a block to paper, and how deep it reaches into cleared ground. */
export interface PressDef {
  readonly kind: string;
  readonly summary: string;
  /** Depth (mm) that keeps the floor of a gap clean; Infinity where no depth does. Never falls as the gap widens. */
  neededDepthMm(gapMm: number, rollerRadiusMm: number): number;
}

/** Every kind of press. */
export const presses = {
  baren: {
    kind: 'baren',
    summary: 'rubbed by hand with a baren, colour brushed on',
    neededDepthMm: barenDepthMm,
  },
  roller: {
    kind: 'roller',
    summary: 'inked with a roller',
    neededDepthMm: (gapMm, rollerRadiusMm) => rollerDipMm(gapMm, rollerRadiusMm) ?? Number.POSITIVE_INFINITY,
  },
} as const satisfies Record<string, PressDef>;
