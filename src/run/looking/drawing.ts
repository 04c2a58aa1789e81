import type { Bitmap } from '../../core/bitmap.ts';
import type { HoldCheck } from '../../core/hold/contract.ts';
import { type PlaneSize, resized } from '../../core/proof/box.ts';
import { openCells } from '../../core/proof/cells.ts';
import type { ReducedPlate } from '../../core/proof/ink.ts';
import type { KeptInk } from '../../core/proof/kept-ink.ts';
import { type RgbRows, rowsOf } from '../../core/proof/proof.ts';
import type { ShareRows } from '../../core/proof/rows.ts';
import { type LightSums, openLightSums, openShrunk, shrunkGrey } from '../../core/proof/shrink.ts';
import { openEtchedRow } from '../../core/spot/rows.ts';
import type { EncodedBand } from '../../io/formats/contract.ts';
import type { PixelPacker } from '../../io/formats/pixels/pack.ts';
import {
  encodeProofBand,
  FILTER_BYTES,
  proofBandOf,
  proofBandRoom,
  proofBandRows,
  type RgbHead,
} from '../../io/proof-png.ts';
import { openRows } from '../../io/rows.ts';
import type { JudgeSetup } from '../plate/setup.ts';
import type { GreySource } from '../plate/tone-source.ts';
import { makeHoldMap, makeProof, makeSmallHoldMap, type PrintAs } from './proof.ts';
import { type ShownSmall, shownAs, shrinkFor } from './shown-small.ts';

/** A picture to be made of a finished plate; plain data. */
export interface Drawing {
  readonly what: 'proof' | 'hold';
  readonly print: PrintAs;
  /** For the hold map: what each check found, and its words by its code. */
  readonly checks: readonly HoldCheck[];
  readonly words: ReadonlyMap<string, string>;
  /** Where the proof leaves its ink for the hold map, in memory that threads share; null where each makes its own. */
  readonly kept: KeptInk | null;
  /** True where its PNG file is wanted. */
  readonly file: boolean;
  /** Its pixels along a side to one of the smaller picture that is wanted besides; null for none. */
  readonly shrinkBy: number | null;
}

/** A hold map for the sheet; plain data. */
export interface SmallMap extends Pick<Drawing, 'print' | 'checks'> {
  /** What it is drawn over. */
  readonly reduced: ReducedPlate;
  /** How much larger its marks are drawn. */
  readonly enlarged: number;
  /** No side of it is longer. */
  readonly mostPx: number;
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
  /** The whole of a hold map for the sheet. */
  drawSmallMap(map: SmallMap): ShownSmall;
}

export function openDrawings({ bitmap, spot }: JudgeSetup): DrawingWork {
  // each holds some rows of the plate, or a block of pools, and room for a band
  const open = new Map<
    string,
    { readonly ppi: number; readonly rows: RgbRows; readonly room: PixelPacker }
  >();
  const drawn = ({ what, print, checks, words, kept }: Drawing) => {
    const ppi = print.settings.proofPpi;
    const known = open.get(what);
    if (known?.ppi === ppi) return known;
    // a map over kept ink begins when the proof is done
    if (what === 'hold' && kept) open.delete('proof');
    const request = { ...print, bitmap, spot };
    const rows = what === 'proof' ? makeProof(request, kept) : makeHoldMap(request, checks, words, kept);
    const opened = { ppi, rows, room: proofBandRoom(rows.widthPx) };
    open.set(what, opened);
    return opened;
  };
  // bands of one drawing come after each other
  let last: { widthPx: number; by: number; lightOf: ReturnType<typeof openLightSums> } | null = null;
  const lightOf = (raw: Uint8Array, widthPx: number, fromRow: number, by: number): LightSums => {
    if (last?.widthPx !== widthPx || last.by !== by)
      last = { widthPx, by, lightOf: openLightSums(widthPx, by, FILTER_BYTES) };
    return last.lightOf(raw, fromRow);
  };
  return {
    drawingHead(drawing) {
      const { write: _, ...head } = drawn(drawing).rows;
      return head;
    },
    drawBand(drawing, band) {
      const { rows, room } = drawn(drawing);
      const raw = proofBandOf(rows, band, room);
      const { file, shrinkBy } = drawing;
      const [fromRow] = proofBandRows(band, rows.heightPx);
      return {
        encoded: file ? [encodeProofBand(raw, band, room)] : [],
        light: shrinkBy === null ? null : lightOf(raw, rows.widthPx, fromRow, shrinkBy),
      };
    },
    reduceRows: (size, from, to) => reducedRows(bitmap, size, from, to),
    drawSmallMap({ print, checks, reduced, enlarged, mostPx }) {
      const map = makeSmallHoldMap({ ...print, bitmap, spot }, reduced, checks, enlarged);
      const by = shrinkFor(map, mostPx);
      const small = openShrunk(map, by);
      small.add(openLightSums(map.widthPx, by)(rowsOf(map, 0, map.heightPx), 0));
      return shownAs(small.picture(), map);
    },
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
  const by = Math.ceil(Math.max(rows.widthPx, rows.heightPx) / mostPx);
  return shrunkGrey(rows.read, rows, rows.bytesPerSample, by);
}
