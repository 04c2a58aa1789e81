import { arrange, type Chosen, leastSheets } from '../../core/gang/arrange.ts';
import { type BoxPx, boxOf, type Place } from '../../core/gang/contract.ts';
import { type Label, type LabelGround, placeLabels } from '../../core/gang/labels.ts';
import { rasterFor } from '../../core/gang/sheet-time.ts';
import { MM_PER_INCH } from '../../core/geometry.ts';
import type { Motion } from '../../core/time/motion.ts';
import { roomOf, type SheetMm } from './common.ts';
import type { GangPlate } from './plate.ts';

/** One plate of the gang, or one copy of it. */
export interface GangItem {
  readonly plate: GangPlate;
  readonly id: string;
  readonly name: string;
  readonly mirrored: boolean;
  /** Its screen, by the report beside it; null where there is none. */
  readonly screen: string | null;
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
  readonly chosen: Pick<Chosen, 'method' | 'compared'>;
  readonly leastSheets: number;
}

/** Lettering keeps off the cut by so much; from memory. */
const OFF_CUT_MM = 0.5;
/** Digits of the bits' hash in an id. */
const HASH_DIGITS = 6;

/** Plates with ids such as `07-3fa2c1`: the number in the order given, and the beginning of the hash of its bits. */
export function itemsOf(
  plates: readonly GangPlate[],
  facing: boolean,
  before: LaidBefore | null,
): GangItem[] {
  const digits = Math.max(2, String(plates.length).length);
  return plates.map((plate, index) => ({
    plate,
    id: `${String(index + 1).padStart(digits, '0')}-${plate.bitsSha256.slice(0, HASH_DIGITS)}`,
    name: before?.plates[index]?.name ?? plate.name,
    mirrored: before?.plates[index]?.mirrored ?? plate.beside?.report.plate.mirrored ?? facing,
    screen: before?.plates[index]?.screen ?? plate.beside?.report.screen.kind ?? null,
  }));
}

/** How the plates of a gang lay on its sheets before. */
export interface LaidBefore extends Pick<Chosen, 'method' | 'compared'> {
  /** By index of the plates in the order given, from the sheet's upper left corner, as wide as it lay. */
  readonly sheets: readonly (readonly (Place & { readonly widthPx: number; readonly heightPx: number })[])[];
  /** For each plate; its file may be called otherwise now, and its report be gone. */
  readonly plates: readonly Pick<GangItem, 'name' | 'mirrored' | 'screen'>[];
  /** What each sheet's bits were, and whether others are let through. */
  readonly expects: { readonly bits: readonly string[]; readonly anyway: boolean };
}

/** Whether plates of these sizes lie as they lay before: none is missing, and none has another size. */
function liesAgain(items: readonly GangItem[], { sheets }: LaidBefore): boolean {
  const places = sheets.flat();
  const pieces = items.map(({ plate }) => plate);
  return (
    places.length === items.length &&
    places.every((place) => {
      if (pieces[place.piece] === undefined) return false;
      const { widthPx, heightPx } = boxOf(place, pieces);
      return widthPx === place.widthPx && heightPx === place.heightPx;
    })
  );
}

/** Sheets of plates whose places are known, with the lettering beside them. */
function sheetsOf(
  items: readonly GangItem[],
  sheets: readonly (readonly Place[])[],
  ground: LabelGround,
): LaidSheet[] {
  const pieces = items.map(({ plate }) => plate);
  return sheets.map((places, index): LaidSheet => {
    const boxes = places.map((place) => boxOf(place, pieces));
    const wishes = places.map(({ piece }) => {
      const { id, mirrored, name } = items[piece]!;
      return { full: `${id} ${name}`, short: id, mirrored };
    });
    const labels = placeLabels(boxes, wishes, ground);
    return {
      number: index + 1,
      laid: places.map((place, i) => ({
        item: items[place.piece]!,
        place,
        box: boxes[i]!,
        label: labels[i]!,
      })),
      raster: rasterFor([...boxes, ...labels.filter((label) => label !== null)]),
    };
  });
}

/** Lays out the plates of one gang, as they lay before where they do; every one must fit the sheet. */
export function layOutGang(
  items: readonly GangItem[],
  sheet: SheetMm,
  dpi: number,
  motion: Motion,
  before: LaidBefore | null,
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
  const least = leastSheets(pieces, room);
  if (before !== null && liesAgain(items, before))
    return { ground, sheets: sheetsOf(items, before.sheets, ground), chosen: before, leastSheets: least };
  const chosen = arrange(pieces, room, sheet.turn === 'auto', MM_PER_INCH / dpi, motion);
  const onSheets = chosen.sheets.map((places) =>
    places.map((place) => ({ ...place, xPx: place.xPx + marginPx, yPx: place.yPx + marginPx })),
  );
  return { ground, sheets: sheetsOf(items, onSheets, ground), chosen, leastSheets: least };
}
