import { arrange, type Chosen, leastSheets } from '../core/gang/arrange.ts';
import { type BoxPx, boxOf, type Place } from '../core/gang/contract.ts';
import { type Label, type LabelGround, placeLabels } from '../core/gang/labels.ts';
import { rasterFor } from '../core/gang/sheet-time.ts';
import { MM_PER_INCH } from '../core/geometry.ts';
import type { Motion } from '../core/time/motion.ts';
import { roomOf, type SheetMm } from './gang-common.ts';
import type { GangPlate } from './gang-plate.ts';

/** One plate of the gang, or one copy of it. */
export interface GangItem {
  readonly plate: GangPlate;
  readonly id: string;
  readonly mirrored: boolean;
}

/** A plate at its place on a sheet. */
export interface LaidItem {
  readonly item: GangItem;
  readonly place: Place;
  readonly box: BoxPx;
  /** Null where there is no room beside it. */
  readonly label: Label | null;
}

/** One sheet; its raster begins at the sheet's upper left corner. */
export interface LaidSheet {
  readonly number: number;
  readonly laid: readonly LaidItem[];
  readonly raster: { readonly widthPx: number; readonly heightPx: number };
}

export interface GangLayout {
  readonly ground: LabelGround;
  readonly sheets: readonly LaidSheet[];
  readonly chosen: Chosen;
  readonly leastSheets: number;
}

/** Lettering keeps off the cut by so much; from memory. */
const OFF_CUT_MM = 0.5;
/** Digits of the bits' hash in an id. */
const HASH_DIGITS = 6;

/** `07-3fa2c1`: the number in the order given, and the beginning of the hash of its bits. */
export function itemsOf(plates: readonly GangPlate[], mirroredOf: (plate: GangPlate) => boolean): GangItem[] {
  const digits = Math.max(2, String(plates.length).length);
  return plates.map((plate, index) => ({
    plate,
    id: `${String(index + 1).padStart(digits, '0')}-${plate.bitsSha256.slice(0, HASH_DIGITS)}`,
    mirrored: mirroredOf(plate),
  }));
}

/** Lays out the plates of one gang; every one must fit the sheet. */
export function layOutGang(
  items: readonly GangItem[],
  sheet: SheetMm,
  dpi: number,
  motion: Motion,
): GangLayout {
  const pxPerMm = dpi / MM_PER_INCH;
  const { room, marginPx } = roomOf(sheet, dpi);
  const ground: LabelGround = {
    widthPx: Math.floor(sheet.widthMm * pxPerMm),
    heightPx: Math.floor(sheet.heightMm * pxPerMm),
    dpi,
    clearPx: Math.ceil((sheet.kerfMm + OFF_CUT_MM) * pxPerMm),
  };
  const pieces = items.map(({ plate }) => plate);
  const chosen = arrange(pieces, room, sheet.turn === 'auto', MM_PER_INCH / dpi, motion);
  const sheets = chosen.sheets.map((places, index): LaidSheet => {
    const onSheet = places.map((place) => ({
      ...place,
      xPx: place.xPx + marginPx,
      yPx: place.yPx + marginPx,
    }));
    const boxes = onSheet.map((place) => boxOf(place, pieces));
    const wishes = onSheet.map(({ piece }) => {
      const { id, mirrored, plate } = items[piece]!;
      return { full: `${id} ${plate.name}`, short: id, mirrored };
    });
    const labels = placeLabels(boxes, wishes, ground);
    return {
      number: index + 1,
      laid: onSheet.map((place, i) => ({
        item: items[place.piece]!,
        place,
        box: boxes[i]!,
        label: labels[i]!,
      })),
      raster: rasterFor([...boxes, ...labels.filter((label) => label !== null)]),
    };
  });
  return { ground, sheets, chosen, leastSheets: leastSheets(pieces, room) };
}
