import type * as z from 'zod';

/** Which side of the print the laser takes away: the ink (intaglio) or the paper (relief). */
export type EtchedSide = 'ink' | 'paper';

/** What a screen is told when it is opened for a run of rows. */
export interface ScreenContext {
  readonly widthPx: number;
  readonly etchedSide: EtchedSide;
  /** Row number the kernel is first called with; negative for lead-in above the picture. */
  readonly firstRow: number;
  /** Number of the plate within its set; 0 for a single plate. Random streams depend on it. */
  readonly plate: number;
  /** Plate pixels per millimetre. */
  readonly pxPerMm: number;
}

/**
 * Screens one row: `tone` holds ink tone 0 (paper) … 65535 (solid), `widthPx` long. The packed ink bits
 * are written to `bits` from byte `at`: (widthPx + 7) >> 3 bytes, all overwritten, padding 0. Rows come
 * in order, y rising by one.
 */
export type ScreenRow = (tone: Uint16Array, y: number, bits: Uint8Array, at: number) => void;

/** What shared code may want to know of any screen, declared. */
interface ScreenFacts<Shape extends z.ZodRawShape> {
  readonly kind: string;
  /** One line for `list screens` and the help. */
  readonly summary: string;
  /** Its own settings; every field has a default, a description and, where it has one, a unit in its name. */
  readonly params: z.ZodObject<Shape>;
  /** Where the mark of the beam is allowed for: in the screen's mask, by a curve, or not at all. */
  readonly compensates: 'mask' | 'curve' | 'no';
  /** How its plates compress best: as runs of a byte, or as patterns that come again. */
  readonly packs: 'runs' | 'repeats';
  /** True where a line may vanish for good: thin source lines are then counted and cautioned. */
  readonly forLineArt: boolean;
  /** Number of tones it can draw with these settings; null where it has no fixed steps. */
  tones(params: z.output<z.ZodObject<Shape>>): number | null;
}

/** A screen that turns tone into marks: each pixel of the plate is etched or not. */
export interface ScreenDef<Shape extends z.ZodRawShape = z.ZodRawShape> extends ScreenFacts<Shape> {
  readonly draws: 'bits';
  /** Rows to run and drop before the first wanted one, so that bands of rows need not know each other. */
  readonly leadInRows: number;
  open(params: z.output<z.ZodObject<Shape>>, context: ScreenContext): ScreenRow;
}

/** No screen: each pixel of the plate keeps its tone, in 8 bits, and the machine makes of it what it can. */
export interface ToneScreenDef<Shape extends z.ZodRawShape = z.ZodRawShape> extends ScreenFacts<Shape> {
  readonly draws: 'tone';
}

export type AnyScreenDef = ScreenDef | ToneScreenDef;

/** What a plate consists of. */
export type Draws = AnyScreenDef['draws'];

/** Keeps the parameter types of an entry while it is checked against the contract. */
export const defineScreen = <Shape extends z.ZodRawShape>(
  def: Omit<ScreenDef<Shape>, 'draws'>,
): ScreenDef<Shape> => ({ draws: 'bits', ...def });

/** As `defineScreen`, for an entry that leaves the tone as it is. */
export const defineToneScreen = <Shape extends z.ZodRawShape>(
  def: Omit<ToneScreenDef<Shape>, 'draws'>,
): ToneScreenDef<Shape> => ({ draws: 'tone', ...def });
