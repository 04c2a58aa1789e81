import type { Measures } from '../core/outlines/measure.ts';
import type { Outline } from '../core/outlines/paths.ts';
import type { OutlineWish } from '../job/outline.ts';
import type { Report } from './schema.ts';
import { tidy } from './tidy.ts';

/** An outline that was drawn, and what was found on it. Lengths in mm. */
export interface OutlineFacts {
  readonly wish: OutlineWish;
  readonly outline: Omit<Outline, 'paths' | 'piece'>;
  readonly measures: Measures;
  readonly pageMm: { readonly width: number; readonly height: number };
  readonly originMm: { readonly x: number; readonly y: number };
  readonly traced: {
    /** Null where it was traced from the picture itself. */
    readonly maskSha256: string | null;
    readonly stepMm: number;
    /** True where its steps are longer than the tolerance asked for. */
    readonly isCoarse: boolean;
  } | null;
  /** How far the piece reaches beyond the plate; 0 where it does not. */
  readonly beyondMm: number;
  /** Printing or etched marks in the strip to be kept clear; null where nothing was counted. */
  readonly near: { readonly clearMm: number; readonly areaMm2: number } | null;
  /** Share of the guide line that lies on the plate, 0…1; null where none is engraved. */
  readonly guideShare: number | null;
  readonly settings: Readonly<Record<string, unknown>>;
}

export const outlineOf = (facts: OutlineFacts): NonNullable<Report['outline']> => {
  const { wish, outline, measures, pageMm, originMm, traced } = facts;
  return {
    kind: wish.kind,
    as: wish.as,
    lengthMm: tidy(measures.lengthMm),
    areaMm2: tidy(measures.areaMm2),
    pieces: outline.pieces,
    holes: outline.holes,
    kerfMm: wish.kerfMm,
    toleranceMm: wish.toleranceMm,
    minRadiusMm: wish.mending?.minRadiusMm ?? null,
    minBridgeMm: wish.mending?.minBridgeMm ?? null,
    pageMm: { width: tidy(pageMm.width), height: tidy(pageMm.height) },
    originMm: { ...originMm },
    maskSha256: traced?.maskSha256 ?? null,
  };
};
