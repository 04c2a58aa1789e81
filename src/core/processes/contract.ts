import type { SafetyTopic } from '../cautions-safety.ts';
import type { HoldNeed } from '../hold/contract.ts';
import type { PictureKind } from '../picture/kind.ts';
import type { EtchedSide } from '../screens/contract.ts';

/** A screen by its name, and in one short sentence why it suits. */
export interface ScreenAdvice {
  readonly screen: string;
  readonly why: string;
  /** Settings of the screen that go with it, unless they are given. */
  readonly settings?: Readonly<Record<string, unknown>>;
}

/** How a matrix is inked and printed, for a proof of it. */
interface Inking {
  /** Rolled-up ink is pressed out over the edges of what prints. */
  readonly squashes: boolean;
  /** Ink is wiped off the ground: a film of it stays there, and pools that are too wide lose theirs. */
  readonly wiped: boolean;
  /** The press leaves the matrix's edge in the paper. */
  readonly plateMark: boolean;
}

/** One printing process: everything shared code may want to know of it, declared. */
export interface ProcessDef {
  readonly kind: string;
  readonly summary: string;
  /** What the person holds in their hands at the end. */
  readonly matrix: 'block' | 'plate';
  /** The side of the print that the laser takes away. */
  readonly etches: EtchedSide;
  /** What carries the ink to the paper. */
  readonly prints: 'kept' | 'etched';
  readonly inking: Inking;
  /** What becomes of the plate outside the picture; it must not print. */
  readonly border: 'etched' | 'kept';
  /** Mirrored plates print the right way round. */
  readonly facing: 'plate' | 'print';
  /** Wide ground may be deepened by further, coarser passes: it must lie low, and holds no ink. */
  readonly clears: boolean;
  /** Settings that differ from the general defaults, by their name in a job. */
  readonly defaults: Readonly<Record<string, string | number>>;
  /** Which screen suits which kind of picture; `singlePixels` for tone where those hold, if another one then. */
  readonly screenFor: Readonly<Record<PictureKind['kind'], ScreenAdvice>> & {
    readonly singlePixels: ScreenAdvice | null;
  };
  /** True where its edges are bevelled before it is printed. */
  readonly bevelled: boolean;
  /** Kind of sheet, by its name among the materials, taken for granted where none is named. */
  readonly assumes: string;
  /** Which limits of the making say how narrow the marks and the ground of a screen may be. */
  readonly screenLimits: {
    readonly kept: 'minLandMm';
    readonly etched: 'minMarkMm' | 'minGapMm';
  };
  /** What may not hold on such a matrix, and which limit of the making speaks of it. */
  readonly holds: readonly HoldNeed[];
  /** What its way of working brings with it that can hurt. */
  readonly safety: readonly SafetyTopic[];
  /** Etched shares that look like a mistake, with the words for it. */
  implausible(etched: number, lineArt: boolean): { readonly limit: number; readonly text: string } | null;
}
