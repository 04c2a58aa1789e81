import type { Stroke } from '../layout/strokefont.ts';
import type { BoxMm, Loop } from '../outlines/contract.ts';
import type { ProcessDef } from '../processes/contract.ts';
import type { Stretch } from './stretch.ts';

/** The canvas that all plates of a set share, as it is wanted on the print: print-reading, from its top left corner. */
export interface RegisterPlace {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Waste all round between the edge of the canvas and the picture. */
  readonly borderMm: number;
  readonly dpi: number;
  readonly process: Pick<ProcessDef, 'kind' | 'matrix' | 'etches'>;
  /** Narrowest line that is sure to print, in mm. */
  readonly lineMm: number;
  /** What this plate is made larger by; its marks are too, so that they lie right on the print. */
  readonly stretch: Stretch;
}

/** Which scale of a vernier a plate carries: the key block the first, of whole millimetres, all others the second. */
export type ScaleSide = 'first' | 'second';

/** Something drawn in the waste: lines by a pen of the place's line width, and areas; both ink. */
export interface AidMark {
  readonly box: BoxMm;
  readonly strokes: readonly Stroke[];
  readonly areas: readonly BoxMm[];
}

/** What an aid wants of a canvas, in mm. */
export interface AidRoom {
  readonly borderMm: number;
  /** Of both sides. */
  readonly shortSideMm: number;
  /** Of the longer one. */
  readonly longSideMm: number;
}

/** A recess in a block, engraved in a pass by itself. */
export interface Shelf {
  readonly boxes: readonly BoxMm[];
  readonly leastDepthMm: number;
  readonly mostDepthMm: number;
}

/** An aid for laying sheet and plates where they were: everything shared code may want to know of it, declared. */
export interface AidDef {
  readonly kind: string;
  readonly summary: string;
  /** What it can be drawn on. */
  readonly matrices: readonly ProcessDef['matrix'][];
  /** Widest line it can be drawn with. */
  readonly mostLineMm: number;
  /** How true prints lie that are laid by it, in mm. */
  readonly achievableMm: number;
  /** True where it measures how far plates lie apart: then one plate carries the first scale, all others the second. */
  readonly hasScales: boolean;
  /** How it is used, for the job sheet. */
  readonly notes: readonly string[];
  room(lineMm: number): AidRoom;
  /** The same place on every plate; only scales may differ. */
  marks(place: RegisterPlace, side: ScaleSide): readonly AidMark[];
  /** Null where nothing is engraved besides the plate. */
  shelf(place: RegisterPlace): Shelf | null;
  /** What is cut from board or card to go with the plates, in mm from a corner of its own; holes lie inside. */
  cut(place: RegisterPlace): readonly Loop[];
}
