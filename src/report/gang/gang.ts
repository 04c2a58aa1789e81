import { MM_PER_INCH, mmFor } from '../../core/geometry.ts';
import { plainSha256 } from '../job-hash.ts';
import type { Judged } from '../judged.ts';
import type { Caution, Report } from '../schema.ts';
import { materialOf, passesOf, timeOf, workshopOf } from '../sections.ts';
import { tidy } from '../tidy.ts';
import { type OutlinedSheet, outlineOfSheet } from './outline.ts';
import type { GangReport, PlacedPlate } from './schema.ts';

/** A box of the raster, in pixels. */
interface BoxPx {
  readonly xPx: number;
  readonly yPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** What is known of a plate on a sheet before lengths are told in mm. */
export interface PlacedParts
  extends Pick<
    PlacedPlate,
    | 'id'
    | 'name'
    | 'file'
    | 'sha256'
    | 'fire'
    | 'turned'
    | 'mirrored'
    | 'screen'
    | 'bitsSha256'
    | 'etched'
    | 'report'
  > {
  readonly box: BoxPx;
  readonly label: (BoxPx & { readonly text: string; readonly mirrored: boolean }) | null;
}

/** What is known of one sheet. */
export interface SheetParts {
  readonly raster: { readonly widthPx: number; readonly heightPx: number };
  readonly etched: number;
  readonly bitsSha256: string;
  readonly judged: Judged;
  readonly placed: readonly PlacedParts[];
  readonly outline: OutlinedSheet | null;
  readonly files: Report['files'];
}

export interface GangParts {
  readonly tool: GangReport['tool'];
  readonly sheet: GangReport['sheet'];
  readonly asked: GangReport['asked'];
  readonly sheets: readonly SheetParts[];
  readonly arrangement: Pick<GangReport['arrangement'], 'method' | 'compared' | 'leastSheets'> & {
    /** One pass over each plate by itself. */
    readonly singlyPassS: number;
  };
}

const boxMm = ({ xPx, yPx, widthPx, heightPx }: BoxPx, dpi: number) => ({
  xMm: tidy(mmFor(xPx, dpi)),
  yMm: tidy(mmFor(yPx, dpi)),
  widthMm: tidy(mmFor(widthPx, dpi)),
  heightMm: tidy(mmFor(heightPx, dpi)),
});

function placedOf({ box, label, ...rest }: PlacedParts, dpi: number): PlacedPlate {
  return {
    ...rest,
    ...box,
    ...boxMm(box, dpi),
    etched: tidy(rest.etched),
    label: label && { text: label.text, mirrored: label.mirrored, ...boxMm(label, dpi) },
  };
}

/** Every plate on every sheet, with where it lies. */
export const placedPlates = (sheets: readonly Pick<SheetParts, 'placed' | 'judged'>[]): PlacedPlate[] =>
  sheets.flatMap(({ placed, judged }) => placed.map((one) => placedOf(one, judged.dpi)));

/** What decides the sheets, as the record of a gang tells it. */
export interface GangRecord extends Pick<GangReport, 'process' | 'dpi' | 'asked'> {
  readonly sheet: Readonly<Record<string, unknown>>;
  readonly placed: readonly (readonly Pick<
    PlacedPlate,
    'id' | 'file' | 'xPx' | 'yPx' | 'turned' | 'mirrored'
  >[])[];
}

/** SHA-256 of what decides the sheets; not of the plates on them, which have hashes of their own. */
export const gangSha256 = ({ process, dpi, sheet, asked, placed }: GangRecord): string =>
  plainSha256({
    ...{ process, dpi, sheet, asked },
    placed: placed.map((plates) =>
      plates.map(({ id, file, xPx, yPx, turned, mirrored }) => ({ id, file, xPx, yPx, turned, mirrored })),
    ),
  });

/** Builds the report of a gang. */
export function buildGangReport(parts: GangParts, cautions: readonly Caution[]): GangReport {
  const { sheet, sheets, arrangement } = parts;
  const { process, dpi, making, depth } = sheets[0]!.judged;
  const placed = placedPlates(sheets);
  const platesMm2 = placed.reduce((sum, { widthMm, heightMm }) => sum + widthMm * heightMm, 0);
  const { singlyPassS, ...found } = arrangement;
  const laid = sheets.map((one) => one.placed.map((plate) => placedOf(plate, dpi)));
  return {
    schema: 'etchwright/gang',
    version: 1,
    tool: parts.tool,
    process,
    dpi,
    pitchMm: tidy(MM_PER_INCH / dpi),
    workshop: workshopOf(making),
    material: materialOf(making),
    passes: passesOf(sheets[0]!.judged),
    sheet,
    asked: parts.asked,
    askedSha256: gangSha256({ process, dpi, sheet, asked: parts.asked, placed: laid }),
    sheets: sheets.map(({ raster, etched, judged, files, bitsSha256, outline }, index) => ({
      number: index + 1,
      raster: {
        widthMm: tidy(mmFor(raster.widthPx, dpi)),
        heightMm: tidy(mmFor(raster.heightPx, dpi)),
        ...raster,
      },
      etched: tidy(etched),
      time: timeOf(judged),
      placed: laid[index]!,
      bitsSha256,
      outline: outline && outlineOfSheet(outline),
      files: [...files],
    })),
    arrangement: {
      ...found,
      plates: placed.length,
      share: tidy(Math.min(1, platesMm2 / (sheets.length * sheet.widthMm * sheet.heightMm))),
      totalS: tidy(sheets.reduce((sum, { judged }) => sum + judged.analysis.time.totalS, 0)),
      singlyS: tidy(singlyPassS * (depth.passes ?? 1)),
    },
    cautions: [...cautions],
  };
}
