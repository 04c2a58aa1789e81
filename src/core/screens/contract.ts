import type * as z from 'zod';
import type { Beam } from '../spot/regions.ts';

/** Which side of the print the laser takes away: the ink (intaglio) or the paper (relief). */
export type EtchedSide = 'ink' | 'paper';

/** What plate, machine and sheet are to a screen: plain data, in pixels of the plate. */
export interface ScreenPlace {
  /** Plate pixels per millimetre. */
  readonly pxPerMm: number;
  readonly etchedSide: EtchedSide;
  /** Number of the plate within its set; 0 for a single plate. Random streams depend on it. */
  readonly plate: number;
  /** Mark of one firing, diameter in pixels; measured, or taken for granted where nobody has. */
  readonly spotPx: number;
  readonly beam: Beam;
  /** True: tone means the area that the beam will etch. False: it means the share of pixels fired, whatever they etch. */
  readonly allowsForSpot: boolean;
  /** Narrowest etched mark and narrowest kept land, wall or dot that hold, in pixels; 1 where nothing is known. */
  readonly minEtchedPx: number;
  readonly minKeptPx: number;
  /** Darkest and lightest ink tone that the job asks for (cap, floor), 0 … 65535; bare paper is 0 all the same. */
  readonly darkestTone: number;
  readonly lightestTone: number;
}

/** What a screen is told when it is opened for a run of rows. */
export interface ScreenContext extends ScreenPlace {
  readonly widthPx: number;
  /** Rows of the picture; not given where it has no end. */
  readonly heightPx?: number;
  /** Row number the kernel is first called with; negative for lead-in above the picture. */
  readonly firstRow: number;
}

/** Something a screen had to give up, with its place on the picture's rows and columns of the plate. */
export interface ScreenFinding {
  /** Stable name, such as `stroke-too-fine`. */
  readonly code: string;
  readonly xPx: number;
  readonly yPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Width of what was too narrow, and the least that holds, in pixels of the plate. */
  readonly sizePx: number;
  readonly limitPx: number;
}

/**
 * Screens one row: `tone` holds ink tone 0 (paper) … 65535 (solid), `widthPx` long, and is left as it is. The packed
 * ink bits of row y − delayRows are written to `bits` from byte `at`: (widthPx + 7) >> 3 bytes, all overwritten, padding
 * 0. Rows come in order, y rising by one; of the first delayRows calls nothing sensible comes out.
 */
export interface ScreenRow {
  (tone: Uint16Array, y: number, bits: Uint8Array, at: number): void;
  /** What was given up and has its top row in [fromRow, toRow); asked for once, after the last row. */
  found?(fromRow: number, toRow: number): readonly ScreenFinding[];
  /** False while all that was drawn is such that the openings of the trim leave it as it is; left out where they may not. */
  needsOpening?(): boolean;
}

/** Work on the etched side of the whole plate, after the ink has become etch and before the mirror. Even squares lean right and down. */
export interface Trim {
  /** Opening of the etched side by a rectangle of so many pixels: no mark narrower is left. 1 does nothing. */
  readonly marksPx: { readonly x: number; readonly y: number };
  /** Then likewise of the kept side, which may leave a nook of a mark. */
  readonly landsPx: { readonly x: number; readonly y: number };
  /** Both openings (of squares then) leave as well what the octagon of that width covers, as patterns are held. */
  readonly withOctagons?: boolean;
  /** Then a pixel stays etched only where the rectangle of so many pixels to its right and below is etched. 1 does nothing. */
  readonly erodePx: { readonly x: number; readonly y: number };
}

/** How a screen wants to be run. */
export interface ScreenFrame {
  /** Rows to run and drop before the first wanted one, so that bands of rows need not know each other. */
  readonly leadInRows: number;
  /** By how many rows the bits come behind the tone: so many rows below a band are read too. */
  readonly delayRows: number;
  /** Bands begin at whole multiples of so many rows. */
  readonly stepRows: number;
  /** What the screen draws is etched so far to the right and below of where it was asked for; 0 or −½ for even squares. */
  readonly shiftPx: { readonly x: number; readonly y: number };
  readonly trim: Trim | null;
  /** After how many pixels flat tones come again; null where they do not, or not soon. */
  readonly repeatPx: { readonly x: number; readonly y: number } | null;
}

/** How far it is from one mark of a screen to the next. */
interface Spacing {
  readonly mm: number;
  /** What is so long, such as `a grain`. */
  readonly of: string;
  /** What to ask for where it is too long, such as `a finer --grain`. */
  readonly finer: string;
}

type ParamsOf<Shape extends z.ZodRawShape> = z.output<z.ZodObject<Shape>>;

/** What shared code may want to know of any screen, declared. */
interface ScreenFacts<Shape extends z.ZodRawShape> {
  readonly kind: string;
  /** One line for `list screens` and the help. */
  readonly summary: string;
  /**
   * Its own settings; every field has a default, a description and, where it has one, a unit in its name. A field whose
   * default hangs on machine and sheet is optional, says in its meta what it is `unlessGiven`, and is filled in by `settle`.
   */
  readonly params: z.ZodObject<Shape>;
  /**
   * Who sees to it that tone arrives where the spot is to be allowed for: the screen itself, a curve found by screening
   * flat patches and predicting what is etched, or nobody (line art is narrowed on the bitmap instead).
   */
  readonly compensates: 'itself' | 'curve' | 'no';
  /** How its plates compress best: as runs of a byte, or as patterns that come again. */
  readonly packs: 'runs' | 'repeats';
  /** True where a line may vanish for good: thin source lines are then counted and cautioned. */
  readonly forLineArt: boolean;
  /** True where its marks lie in even rows, which beat with those of a picture that is screened already. */
  readonly hasGrid?: boolean;
  /** From one mark to the next, for screens whose marks have a size of their own. */
  spacing?(params: ParamsOf<Shape>, place: ScreenPlace): Spacing;
  /** What to ask for where its lands are too thin all the same, such as `a wider --cell`; left out where only the resolution helps. */
  readonly widen?: string;
  /** Number of tones it can draw with these settings; null where it has no fixed steps. */
  tones(params: ParamsOf<Shape>, place: ScreenPlace): number | null;
}

/** A screen that turns tone into marks: each pixel of the plate is etched or not. */
export interface ScreenDef<Shape extends z.ZodRawShape = z.ZodRawShape, Tables = unknown>
  extends ScreenFacts<Shape> {
  readonly draws: 'bits';
  /** As in `ScreenFrame`, for these settings on this plate where `frame` says nothing else. */
  readonly leadInRows: number;
  frame?(params: ParamsOf<Shape>, place: ScreenPlace): Partial<ScreenFrame>;
  /** Fills in the settings that hang on machine and sheet, in their own units; EtchError where they cannot be met. */
  settle?(params: ParamsOf<Shape>, place: ScreenPlace): ParamsOf<Shape>;
  /** What takes long to make and every thread needs, as plain data: made once, its typed arrays then shared by all threads and only read. Pure: same input, same tables. */
  build?(params: ParamsOf<Shape>, place: ScreenPlace): Tables;
  /** `tables` is what `build` gave. */
  open(params: ParamsOf<Shape>, context: ScreenContext, tables: Tables): ScreenRow;
  /** Codes of what its rows may tell as found; words for each stand with those of what does not hold. */
  readonly finds?: readonly string[];
  /** Further facts for the report, as achieved, units in their names. */
  achieved?(
    params: ParamsOf<Shape>,
    place: ScreenPlace,
    tables: Tables,
  ): Readonly<Record<string, number | string>>;
}

/** No screen: each pixel of the plate keeps its tone, in 8 bits, and the machine makes of it what it can. */
export interface ToneScreenDef<Shape extends z.ZodRawShape = z.ZodRawShape> extends ScreenFacts<Shape> {
  readonly draws: 'tone';
}

/** An entry of the registry, with its parameter types forgotten. */
export type AnyScreenDef = ScreenDef | ToneScreenDef;

/** What a plate consists of. */
export type Draws = AnyScreenDef['draws'];

/** Keeps the parameter types of an entry while it is checked against the contract. */
export const defineScreen = <Shape extends z.ZodRawShape, Tables = undefined>(
  def: Omit<ScreenDef<Shape, Tables>, 'draws'>,
): ScreenDef<Shape, Tables> => ({ draws: 'bits', ...def });

/** As `defineScreen`, for an entry that leaves the tone as it is. */
export const defineToneScreen = <Shape extends z.ZodRawShape>(
  def: Omit<ToneScreenDef<Shape>, 'draws'>,
): ToneScreenDef<Shape> => ({ draws: 'tone', ...def });

/** How an entry wants to be run, whole. */
export const frameOf = (
  def: ScreenDef,
  params: Readonly<Record<string, unknown>>,
  place: ScreenPlace,
): ScreenFrame => ({
  leadInRows: def.leadInRows,
  delayRows: 0,
  stepRows: 1,
  shiftPx: { x: 0, y: 0 },
  trim: null,
  repeatPx: null,
  ...def.frame?.(params, place),
});
