import type { AnySeparation, SetInk } from '../../core/separations/contract.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import type { FormatKind } from '../../io/formats/index.ts';
import type { Origins } from '../../job/layers.ts';
import type { Making } from '../../job/making.ts';
import type { Curves } from '../../job/measured-curve.ts';
import type { PaperSize } from '../../job/paper-sizes.ts';
import type { Looking } from '../../job/proof-settings.ts';
import type { WantedJob } from '../../job/schema.ts';
import type { SeparateSettings } from './settings.ts';

/** What one plate is to be, before the set has its say. */
export interface PlateJob {
  readonly job: WantedJob;
  readonly origins: Origins;
  readonly making: Making;
  readonly curves: Curves;
}

/** A set of plates as it is asked for. */
export interface SeparateRequest {
  readonly name: string;
  /** The picture to be divided; null where each plate has its own. */
  readonly picture: { readonly path: string; readonly name: string } | null;
  /** A picture of flat colours that divides it; null where its own do. */
  readonly pieceMap: { readonly path: string; readonly name: string } | null;
  /** Pictures of the plates in the order they are printed, by the plate's name. */
  readonly pictures: readonly { readonly plate: string; readonly path: string; readonly name: string }[];
  /** Null where nothing is divided. */
  readonly method: {
    readonly def: AnySeparation;
    readonly params: Readonly<Record<string, unknown>>;
  } | null;
  /** In printing order; null where they are to be found in the picture. */
  readonly inks: readonly SetInk[] | null;
  readonly settings: Pick<
    SeparateSettings,
    | 'colours'
    | 'smallestMm'
    | 'edition'
    | 'editionProofs'
    | 'lossPercent'
    | 'register'
    | 'registerMap'
    | 'bedTemplate'
  >;
  /** Sheet that is printed on; null where it is not said. */
  readonly paper: PaperSize | null;
  /** What holds for every plate; canvas and resolution are these. */
  readonly base: PlateJob;
  /** What single plates have of their own, by name. */
  readonly own: ReadonlyMap<string, PlateJob>;
  readonly formats: readonly FormatKind[];
  readonly stored: Pick<PlateHead, 'fire' | 'tiff'>;
  /** Null writes nothing. */
  readonly folder: string | null;
  readonly overwrite: boolean;
  readonly protect: readonly string[];
  readonly looking: Looking;
  readonly strict: boolean;
  /** For a set made again: the bits that must come of each plate, by its name, and whether others are let through. */
  readonly expects?: { readonly bits: ReadonlyMap<string, string>; readonly anyway: boolean };
}
