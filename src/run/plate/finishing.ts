import { readSync } from 'node:fs';
import { type Bitmap, countBits, tailMask } from '../../core/bitmap.ts';
import { type Finish, faceRows, finishRows } from '../../core/plate.ts';
import type { Trim } from '../../core/screens/contract.ts';
import { type Extents, rowExtents } from '../../core/time/extents.ts';
import { type Seams, trimRows } from '../../core/trim.ts';
import type { EncodedBand, LocatedPlate, PlateHead } from '../../io/formats/contract.ts';
import { type FormatKind, formats } from '../../io/formats/index.ts';
import { openWorkspace } from '../../io/formats/workspace.ts';
import { BAND_ROWS, type JudgeSetup } from './setup.ts';

interface FinishedBand {
  readonly etched: number;
  readonly encoded: EncodedBand[];
  /** First and last etched pixel of each row. */
  readonly extents: Extents;
}

/** The trim of one band, with the rows of its neighbours as they were before any was trimmed. */
export interface BandTrim {
  readonly trim: Trim;
  readonly seams: Seams;
}

/** What can be asked for a plate whose ink is drawn. */
export interface Finishing {
  /** Finishes one band of the plate's rows in place, counts it and encodes it for every format; what it is to be trimmed by comes with it. */
  finish(band: number, trimming: BandTrim | null): FinishedBand;
  /** Reads one band of a written file back; the number of its rows that differ from the bitmap. */
  verify(format: FormatKind, fd: number, located: LocatedPlate, band: number): number;
}

export interface FinishingParts extends Pick<JudgeSetup, 'bitmap'> {
  readonly head: PlateHead;
  readonly formats: readonly FormatKind[];
  readonly finish: Finish;
  /** True where the ink has become etch already, for what was done to it in between. */
  readonly isEtched: boolean;
}

/** The rows [from, to) of a band of a plate. */
export const rowsOfBand = (band: number, heightPx: number): [from: number, to: number] => [
  band * BAND_ROWS,
  Math.min((band + 1) * BAND_ROWS, heightPx),
];

/** Rows of a band, from the row `first` of the bitmap on, that are stored otherwise; all stored bits are turned over first where `turned` is 0xff. */
function differingRows(
  { widthPx, strideBytes, data }: Bitmap,
  first: number,
  rows: number,
  stored: Uint8Array,
  turned: 0 | 0xff,
): number {
  const start = first * strideBytes;
  const tail = tailMask(widthPx);
  let wrong = 0;
  for (let r = 0; r < rows; r++) {
    const at = r * strideBytes;
    let differs = 0;
    for (let i = 0; i < strideBytes - 1; i++) differs |= stored[at + i]! ^ turned ^ data[start + at + i]!;
    differs |= (stored[at + strideBytes - 1]! ^ turned ^ data[start + at + strideBytes - 1]!) & tail;
    if (differs !== 0) wrong++;
  }
  return wrong;
}

export function openFinishing(parts: FinishingParts): Finishing {
  const { bitmap, head, isEtched } = parts;

  const finish: Finishing['finish'] = (band, trimming) => {
    const [from, to] = rowsOfBand(band, bitmap.heightPx);
    if (trimming) trimRows(bitmap, trimming.trim, from, to, trimming.seams);
    (isEtched ? faceRows : finishRows)(bitmap, parts.finish, from, to);
    const rows = bitmap.data.subarray(from * bitmap.strideBytes, to * bitmap.strideBytes);
    return {
      etched: countBits(rows),
      encoded: parts.formats.map((kind) => formats[kind].encodeBand(rows, head, from)),
      extents: rowExtents({ ...bitmap, heightPx: to - from, data: rows }),
    };
  };

  const packedBand = openWorkspace();
  const verify: Finishing['verify'] = (kind, fd, located, index) => {
    const band = located.bands[index]!;
    const bytes = packedBand(band.bytes);
    if (readSync(fd, bytes, 0, band.bytes, band.offset) !== band.bytes) return band.rows;
    const stored = formats[kind].decodeBand(bytes, located, band);
    const turned = located.oneIsWhite === (head.fire === 'dark') ? 0xff : 0;
    return differingRows(bitmap, band.firstRow, band.rows, stored, turned);
  };

  return { finish, verify };
}
