import { readSync } from 'node:fs';
import { countBits, tailMask } from '../core/bitmap.ts';
import { type Finish, faceRows, finishRows } from '../core/plate.ts';
import type { Trim } from '../core/screens/contract.ts';
import { type Extents, rowExtents } from '../core/time/extents.ts';
import { type Seams, trimRows } from '../core/trim.ts';
import type { EncodedBand, LocatedPlate, PlateHead } from '../io/formats/contract.ts';
import { type FormatKind, formats } from '../io/formats/index.ts';
import { openWorkspace } from '../io/formats/workspace.ts';
import { BAND_ROWS, type JudgeSetup } from './setup.ts';

interface FinishedBand {
  readonly etched: number;
  readonly encoded: EncodedBand[];
  /** First and last etched pixel of each row. */
  readonly extents: Extents;
}

/** What can be asked for a plate whose ink is drawn. */
export interface Finishing {
  /** Finishes one band of the plate's rows in place, counts it and encodes it for every format; a trimmed band gets its seams. */
  finish(band: number, seams: Seams | null): FinishedBand;
  /** Reads one band of a written file back; the number of its rows that differ from the bitmap. */
  verify(format: FormatKind, fd: number, located: LocatedPlate, band: number): number;
}

export interface FinishingParts extends Pick<JudgeSetup, 'bitmap'> {
  readonly head: PlateHead;
  readonly formats: readonly FormatKind[];
  readonly finish: Finish;
  readonly trim: Trim | null;
  /** True where the ink has become etch already, for what was done to it in between. */
  readonly isEtched: boolean;
}

/** The rows [from, to) of a band of a plate. */
export const rowsOfBand = (band: number, heightPx: number): [from: number, to: number] => [
  band * BAND_ROWS,
  Math.min((band + 1) * BAND_ROWS, heightPx),
];

export function openFinishing(parts: FinishingParts): Finishing {
  const { bitmap, head, trim, isEtched } = parts;

  const finish: Finishing['finish'] = (band, seams) => {
    const [from, to] = rowsOfBand(band, bitmap.heightPx);
    if (trim && seams) trimRows(bitmap, trim, from, to, seams);
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
    const { strideBytes, data } = bitmap;
    const start = band.firstRow * strideBytes;
    const tail = tailMask(bitmap.widthPx);
    let wrong = 0;
    for (let r = 0; r < band.rows; r++) {
      const at = r * strideBytes;
      let differs = 0;
      for (let i = 0; i < strideBytes - 1; i++) differs |= stored[at + i]! ^ turned ^ data[start + at + i]!;
      differs |= (stored[at + strideBytes - 1]! ^ turned ^ data[start + at + strideBytes - 1]!) & tail;
      if (differs !== 0) wrong++;
    }
    return wrong;
  };

  return { finish, verify };
}
