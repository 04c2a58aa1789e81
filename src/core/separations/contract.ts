import type * as z from 'zod';
import type { Bitmap } from '../bitmap.ts';
import type { PointMm } from '../outlines/contract.ts';
import type { CutLines } from '../pieces/cut-page.ts';
import type { PieceCaution } from '../pieces/frail.ts';
import type { Light } from '../proof/colour.ts';
import type { Ink } from '../proof/overprint.ts';

/** An ink of a set; inks stand in the order they are printed. */
export interface SetInk extends Ink {
  /** As it is called on files and sheets. */
  readonly name: string;
  /** #rrggbb, in sRGB. */
  readonly colour: string;
}

/** What canvas and inks are to a separation that shapes areas. */
export interface AreasPlace {
  /** Plate pixels per millimetre. */
  readonly pxPerMm: number;
  readonly inks: readonly SetInk[];
  /** Width below which a mark is no mark, in pixels. */
  readonly smallestPx: number;
  /** Width of the cut in mm, where plates or papers are cut by lines of the method; 0 where no beam cuts them. */
  readonly kerfMm: number;
}

/** Which ink is wanted at each pixel of the canvas, print-reading: 0 is bare paper, n the nth ink as it is printed. */
export interface Labels {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Uint8Array;
}

/** What a separation is given to shape. */
export interface Areas {
  readonly labels: Labels;
  /** Where each plate had a picture of its own: what that asks for, bit 1 = ink. Null where one picture was divided. */
  readonly asked: readonly Bitmap[] | null;
}

/** Something a separation did or had to give up, counted. */
export interface SetFinding {
  /** Stable name, such as `trap-narrowed`. */
  readonly code: string;
  /** Number of the plate from 0; null where it speaks of the set. */
  readonly plate: number | null;
  readonly count: number;
  readonly areaPx: number;
}

/** Something cut out of a sheet, as it is wanted on the print: print-reading, in mm from the corner of the picture. */
export interface CutPiece {
  readonly id: string;
  /** Number of its ink from 0; null for bare paper. */
  readonly ink: number | null;
  /** Number of its sheet from 0. */
  readonly sheet: number;
  readonly areaMm2: number;
  /** Middle and side of the largest upright square in it. */
  readonly innerMm: PointMm;
  readonly sideMm: number;
  /** Size that it is cut to. */
  readonly widthMm: number;
  readonly heightMm: number;
  readonly cautions: readonly PieceCaution[];
}

/** A sheet and what is cut out of it. */
export interface CutSheet extends CutLines {
  /** As it is called on files and sheets. */
  readonly name: string;
  /** True where the lines are as the machine sees them; else they are print-reading, and go the way of their plate. */
  readonly asCut: boolean;
}

/** Where an ink prints, from which plate; or, without one, where coloured paper lies under the print. */
export interface Laid {
  readonly ink: number;
  readonly plate: number | null;
  readonly map: Bitmap;
}

/** A set whose plates are not one for each ink: pieces are cut out, inked or laid one by one, and printed in one go. */
export interface CutPlan {
  /** Names of the plates, and the ink that most of each is printed in, by its number; null for an ink of its own. */
  readonly plates: readonly { readonly name: string; readonly ink: number | null }[];
  readonly sheets: readonly CutSheet[];
  readonly pieces: readonly CutPiece[];
  /** Borders of the pieces, each once, print-reading. */
  readonly lines: readonly (readonly PointMm[])[];
  /** Width of the paper that shows between pieces. */
  readonly gapMm: number;
  /** What lies over what, the lowest first; no two share a pixel but where paper lies under a plate. */
  readonly laid: readonly Laid[];
  /** True for papers, whose faces are as they are read; those of plates are mirrored as the plates are. */
  readonly ofPaper: boolean;
}

/** Plates as they print by themselves, bit 1 = ink, print-reading; and what was found on the way. */
export interface Shaped {
  /** One for each ink, or where something is cut one for each plate of `cut`: then where the plate is to carry ink at all. */
  readonly plates: readonly Bitmap[];
  readonly findings: readonly SetFinding[];
  readonly cut?: CutPlan;
}

/**
 * Divides one row: `rgb` holds red, green and blue of each pixel, a byte each, sRGB over white; each of `tones`, one
 * for each ink, is filled with tone 0 (paper) … 65535 (solid).
 */
export type ToneSplit = (rgb: Uint8Array, tones: readonly Uint16Array[]) => void;

/** Plates of tone: each is screened like any picture. */
export interface TonesWay {
  readonly draws: 'tones';
  /** What rows are divided by, made once for all threads; work that takes long belongs here. */
  build(inks: readonly Ink[], paper: Light): Uint16Array;
  /**
   * The same for several threads, where it takes long: what one of them begins, as plain data, and then so many parts, each by
   * itself, which laid end to end are the whole.
   */
  readonly inParts?: {
    readonly parts: number;
    begin(inks: readonly Ink[], paper: Light): unknown;
    part(inks: readonly Ink[], paper: Light, begun: unknown, part: number): Uint16Array;
  };
  /** Divides rows among so many inks by what was built. */
  open(table: Uint16Array, inks: number): ToneSplit;
}

/** Plates of areas: every pixel of the canvas belongs to one ink or to the paper. */
export interface AreasWay {
  readonly draws: 'areas';
  /** What decides whose a pixel is: the nearest colour, or how dark it is. */
  readonly by: 'colours' | 'darkness';
  /** Darkness 0 … 1 from which the nth ink is wanted, rising; for `darkness` alone. */
  readonly levels?: (inks: number) => readonly number[];
  /** Width over which the picture is smoothed first, in mm; 0 leaves it as it is. */
  readonly smoothMm: number;
  /** Inks by their number from 0 that draw lines, however thin; those of the others are swallowed by what is beside them. */
  lines(inks: readonly SetInk[]): readonly number[];
  /** What is cut along lines of its own; none where absent. */
  readonly cuts?: 'plates' | 'paper';
  /** What plates that are cut carry: ink all over, or the picture; `mapped` where another picture divides it. Areas alone where absent. */
  faces?(mapped: boolean): 'solid' | 'picture';
  shape(areas: Areas, place: AreasPlace): Shaped;
}

/** How a method draws its plates: rows of tones, or areas. */
export type SeparationWay = TonesWay | AreasWay;

type ParamsOf<Shape extends z.ZodRawShape> = z.output<z.ZodObject<Shape>>;

/** A way to make a set of plates of one picture. */
export interface SeparationDef<Shape extends z.ZodRawShape = z.ZodRawShape> {
  readonly kind: string;
  /** One line for `list separations` and the help. */
  readonly summary: string;
  /** Its own settings; every field has a description and, where it has one, a unit in its name. Two that mean the same are one. */
  readonly params: z.ZodObject<Shape>;
  /** How many inks it takes, and how many are looked for in the picture where neither inks nor their number are given; null looks for none. */
  readonly inks: {
    readonly least: number;
    readonly most: number;
    readonly found: number | null;
    /** The inks in printing order where none are named. */
    readonly usual?: readonly Pick<SetInk, 'name' | 'colour' | 'opaque'>[];
  };
  /** True where all plates are cut out of one block, one after the other: each file is etched on what the ones before left. */
  readonly oneBlock: boolean;
  /** What is wrong with its settings for inks of these names; null where nothing is. */
  unfit?(
    params: ParamsOf<Shape>,
    inks: readonly string[],
  ): { readonly message: string; readonly hint: string } | null;
  way(params: ParamsOf<Shape>): SeparationWay;
}

/** An entry of the registry, with its parameter types forgotten. */
export type AnySeparation = SeparationDef;

/** Keeps the parameter types of an entry while it is checked against the contract. */
export const defineSeparation = <Shape extends z.ZodRawShape>(
  def: SeparationDef<Shape>,
): SeparationDef<Shape> => def;
