import type { Bitmap } from '../../core/bitmap.ts';
import type { PlateLayout } from '../../core/geometry.ts';
import type { CutPlan, SeparationWay, SetFinding, SetInk } from '../../core/separations/contract.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import type { PlateSource } from './drawn.ts';

/** A picture divided among the plates of a set. */
export interface Division {
  /** In printing order. */
  readonly inks: readonly SetInk[];
  /** In printing order, by name and the ink that it is printed in: the inks, where each has a plate. */
  readonly plates: readonly SetInk[];
  /** What each plate is made of: areas, tones of one picture, or a picture of its own. */
  readonly draws: SeparationWay['draws'] | 'pictures';
  /** True where plates are drawn on their own raster, turned as they will be. */
  readonly onRaster: boolean;
  readonly layout: PlateLayout;
  /** Of the one picture; null where each plate has its own. */
  readonly facts: PictureFacts | null;
  readonly findings: readonly SetFinding[];
  /** Ink of each plate inside the picture, print-reading; null where plates are of tones. */
  readonly areas: readonly Bitmap[] | null;
  /** What is cut out of sheets, and printed in one go; null where every ink is printed by itself. */
  readonly cut: (CutPlan & { readonly map: PieceMap | null }) | null;
  open(plate: number): Promise<PlateSource>;
  close(): void;
}

/** The picture that divides another one. */
export interface PieceMap {
  readonly name: string;
  readonly sha256: string;
}
