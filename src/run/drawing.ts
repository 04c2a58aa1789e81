import type { Bitmap } from '../core/bitmap.ts';
import type { HoldCheck } from '../core/hold/contract.ts';
import { type PlaneSize, resized } from '../core/proof/box.ts';
import { openCells } from '../core/proof/cells.ts';
import type { RgbRows } from '../core/proof/proof.ts';
import type { ShareRows } from '../core/proof/rows.ts';
import { type LightSums, shrunkGrey, sumLight } from '../core/proof/shrink.ts';
import { openEtchedRow } from '../core/spot/rows.ts';
import type { EncodedBand } from '../io/formats/contract.ts';
import { encodeProofBand, proofBandRows, type RgbHead } from '../io/proof-png.ts';
import { openRows } from '../io/rows.ts';
import { makeHoldMap, makeProof, type PrintAs } from './proof.ts';
import type { JudgeSetup } from './setup.ts';
import type { GreySource } from './tone-source.ts';

/** A picture to be made of a finished plate; plain data. */
export interface Drawing {
  readonly what: 'proof' | 'hold';
  readonly print: PrintAs;
  /** For the hold map: what each check found, and its words by its code. */
  readonly checks: readonly HoldCheck[];
  readonly words: ReadonlyMap<string, string>;
  /** For a hold map that is shown small: how much larger its marks are drawn, and no words; null otherwise. */
  readonly enlarged: number | null;
  /** True where its PNG file is wanted. */
  readonly file: boolean;
  /** Its pixels along a side to one of the smaller picture that is wanted besides; null for none. */
  readonly shrinkBy: number | null;
}

interface DrawnBand {
  /** The band of the PNG file; empty where none is wanted. */
  readonly encoded: EncodedBand[];
  readonly light: LightSums | null;
}

/** Pictures of a finished plate, in bands that any thread may make. */
export interface DrawingWork {
  /** Size and resolution of a drawing. */
  drawingHead(drawing: Drawing): RgbHead;
  /** One band of a drawing. */
  drawBand(drawing: Drawing, band: number): DrawnBand;
  /** Etched share, 0…1, of rows `from` to `to` of the plate as it lies, reduced to `size`; no spot. */
  reduceRows(size: PlaneSize, from: number, to: number): Float32Array;
}

export function openDrawings({ bitmap, spot }: JudgeSetup): DrawingWork {
  // each holds some rows of the plate, or a block of pools
  const open = new Map<string, { readonly ppi: number; readonly rows: RgbRows }>();
  const drawn = ({ what, print, checks, words, enlarged }: Drawing): RgbRows => {
    const ppi = print.settings.proofPpi;
    const key = enlarged === null ? what : `small ${what}`;
    const known = open.get(key);
    if (known?.ppi === ppi) return known.rows;
    const request = { ...print, bitmap, spot };
    const rows = what === 'proof' ? makeProof(request) : makeHoldMap(request, checks, words, enlarged);
    open.set(key, { ppi, rows });
    return rows;
  };
  return {
    drawingHead(drawing) {
      const { rows: _, ...head } = drawn(drawing);
      return head;
    },
    drawBand(drawing, band) {
      const { widthPx, heightPx, rows } = drawn(drawing);
      const [fromRow, toRow] = proofBandRows(band, heightPx);
      const bytes = rows(fromRow, toRow);
      const { file, shrinkBy } = drawing;
      return {
        encoded: file ? [encodeProofBand(bytes, widthPx, band)] : [],
        light: shrinkBy === null ? null : sumLight(bytes, widthPx, fromRow, shrinkBy),
      };
    },
    reduceRows: (size, from, to) => reducedRows(bitmap, size, from, to),
  };
}

function reducedRows(bitmap: Bitmap, size: PlaneSize, from: number, to: number): Float32Array {
  const etched = openEtchedRow(null);
  const reduced =
    bitmap.widthPx >= 4 * size.widthPx
      ? reducedCells(bitmap, size)
      : resized((y, into) => etched(bitmap, y, into), bitmap, size);
  const shares = new Float32Array((to - from) * size.widthPx);
  for (let y = from; y < to; y++)
    reduced(y, shares.subarray((y - from) * size.widthPx, (y - from + 1) * size.widthPx));
  return shares;
}

/** By way of cells of four by four pixels, in a tenth of the time. */
function reducedCells(bitmap: Bitmap, size: PlaneSize): ShareRows {
  const cells = openCells(bitmap, null, 4);
  return resized(cells.rows, cells.extent, size);
}

/** The picture as it was read, upright, in grey sRGB bytes; no side longer than `mostPx`. */
export function reduceSource(
  { scratch, orientation }: GreySource,
  mostPx: number,
): { readonly greys: Uint8Array } & PlaneSize {
  const rows = openRows(scratch, orientation);
  const most = rows.bytesPerSample === 1 ? 255 : 65535;
  const by = Math.ceil(Math.max(rows.widthPx, rows.heightPx) / mostPx);
  return shrunkGrey(rows.read, rows.newRow(), rows, most, by);
}
