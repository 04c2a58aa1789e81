import type { PlateSide } from './words.ts';

/** Where a limit comes from; every caution says so. */
export type LimitBasis = 'measured' | 'common-practice' | 'from-memory';

/** Least, or most, that a sheet holds, and on whose word. */
export interface HoldLimit {
  readonly mm: number;
  readonly basis: LimitBasis;
}

/** What can be measured; see measures.ts. */
export type MeasureKind = 'walls' | 'dots' | 'thin' | 'wide' | 'ring' | 'keepOut' | 'merged';

/** One thing a process wants looked at, declared by the process. */
export interface HoldNeed {
  /** Name of the check in reports: lower case, words joined by hyphens. */
  readonly code: string;
  readonly measure: MeasureKind;
  readonly side: PlateSide;
  /** Name of its limit among those given; a need without a limit is left out. */
  readonly limit: string;
  /** True where what reaches the plate's edge goes on beyond it, as a white gap does. */
  readonly goesOnOutside?: boolean;
}

/** What the beam and the sheet are; limits by the names that needs call them. */
export interface HoldSettings {
  readonly pitchMm: number;
  /** Width of the mark of one firing. */
  readonly spotMm: number;
  readonly limits: Readonly<Record<string, HoldLimit>>;
}

/** From the plate's left and top edge, in the orientation of the bitmap. */
export interface HoldPlace {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** What was found; lengths in mm, areas in mm², shares 0…1. */
export interface HoldFinding {
  /** The narrowest, widest or nearest; null where everything holds. */
  readonly worstMm: number | null;
  /** Pieces that do not hold. In halftones, where they crowd, a count of the places where pieces begin. */
  readonly count: number;
  readonly areaMm2: number;
  /** Share of the side that does not hold; of the whole plate for merged tone. */
  readonly share: number;
  /** The five worst at most; pieces within about a millimetre are one place. */
  readonly places: readonly HoldPlace[];
  /** What share of what does not hold has which width, narrowest first; only for what is too thin. */
  readonly byWidth: readonly { readonly widthMm: number; readonly share: number }[];
}

/** What was found of one need; `code` is that of the need. */
export interface HoldCheck extends HoldFinding {
  readonly code: string;
  readonly limitMm: number;
  readonly basis: LimitBasis;
}
