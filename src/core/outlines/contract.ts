import type * as z from 'zod';

/** A point in mm, y down. */
export interface PointMm {
  readonly x: number;
  readonly y: number;
}

/** A closed polygon; the last point joins the first. Which way it turns means nothing: holes lie inside other loops. */
export type Loop = readonly PointMm[];

/** A straight line to `to`, or a cubic by the control points `c1` and `c2`. */
export interface Segment {
  readonly c1?: PointMm;
  readonly c2?: PointMm;
  readonly to: PointMm;
}

/** One closed line of an outline; it ends where it starts. */
export interface OutlinePath {
  readonly start: PointMm;
  readonly segments: readonly Segment[];
  readonly isHole: boolean;
}

/** Lines of one look on a page. */
export interface Lines {
  readonly paths: readonly OutlinePath[];
  /** Single strokes, such as lettering; open. */
  readonly strokes?: readonly (readonly PointMm[])[];
  /** Lengths of dash and gap; none for a full line. */
  readonly dashMm?: readonly [dash: number, gap: number];
}

/** A page of lines at its own size; everything in mm from its top left corner. */
export interface LinePage {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly lines: readonly Lines[];
}

/** A box in mm, from the upper left corner of what it lies on. */
export interface BoxMm {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** What is made of the loops of an outline that follow no formula, in mm. */
export interface Mending {
  /** Rim left around the shape. */
  readonly rimMm: number;
  /** Smallest radius that the line turns by, inwards and outwards. */
  readonly minRadiusMm: number;
  /** Narrowest neck between two parts; narrower ones are made so wide. 0 leaves them. */
  readonly minBridgeMm: number;
}

/** One kind of outline: everything shared code may want to know of it, declared. */
export interface OutlineDef<Params extends z.ZodObject = z.ZodObject> {
  readonly kind: string;
  readonly summary: string;
  /** Its own settings; no default may hang on anything else. */
  readonly params: Params;
  /** True where it is traced from a picture or mask: `loops` is then given what was traced. */
  readonly traced: boolean;
  /** The finished piece, before any kerf. Curves are given as chords no further than 0.5 µm from them, and under 1 mm long. */
  loops(params: z.output<Params>, box: BoxMm, traced: readonly Loop[]): readonly Loop[];
  /** Null where the loops are as they must be. */
  mending(params: z.output<Params>): Mending | null;
}

/** Keeps the types of an entry's own settings. */
export const defineOutline = <Params extends z.ZodObject>(def: OutlineDef<Params>): OutlineDef<Params> => def;

/** As shared code holds it; the settings have been checked. */
export type AnyOutlineDef = OutlineDef<z.ZodObject>;
