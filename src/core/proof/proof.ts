import { MM_PER_INCH } from '../geometry.ts';
import type { PlaneSize } from './box.ts';
import { codeOfLight, LIGHT_STEPS } from './codes.ts';
import type { Light } from './colour.ts';
import { type InkedPlate, type InkPlane, openInk, proofPx } from './ink.ts';
import { INK_STEPS, type InkPainter, openInkPainter } from './ink-colours.ts';
import { type Ink, neugebauer, overprints, type Primaries } from './overprint.ts';
import { openPlateMark, type ShadeRow } from './plate-mark.ts';

/** The paper, and what a plate does to it besides its ink. */
export interface ProofPaper {
  readonly light: Light;
  /** Paper seen around the plate, in mm. */
  readonly marginMm: number;
  /** True where the press leaves the plate's edge in the paper. */
  readonly plateMark: boolean;
  /** True where colours may be told apart in steps of four codes: a print to find one's way on, in half the bytes. */
  readonly coarse?: boolean;
}

const COARSE = 3;

/** One printing of a proof; several, in the order they are printed, lie over each other from the same corner. */
export interface Printing {
  readonly plate: InkedPlate;
  readonly ink: Ink;
}

/** Likewise, of a plane that is there already. */
export interface PlanePrinting {
  readonly plane: InkPlane;
  readonly ink: Ink;
  /** True for an ink that lies on the plate of the one before, beside it. */
  readonly onSamePlate?: boolean;
}

/** A picture that is made row by row. */
export interface RgbRows extends PlaneSize {
  readonly ppi: number;
  /**
   * Writes the rows [fromRow, toRow) as red, green and blue, a byte each, sRGB, the first of them from `at` on, each
   * `strideBytes` after the one before. Any range gives the same bytes as the whole.
   */
  readonly write: (fromRow: number, toRow: number, into: Uint8Array, at: number, strideBytes: number) => void;
}

/** The rows [fromRow, toRow) of a picture, without gaps. */
export function rowsOf({ widthPx, write }: RgbRows, fromRow: number, toRow: number): Uint8Array {
  const bytes = new Uint8Array((toRow - fromRow) * widthPx * 3);
  write(fromRow, toRow, bytes, 0, widthPx * 3);
  return bytes;
}

/** A proof, and where the plate lies on it. */
export interface Proof extends RgbRows {
  readonly marginPx: number;
}

/** The print as it should look, print-reading, on its paper, at `proofPpi` pixels an inch. At least one printing. */
export const openProof = (printings: readonly Printing[], paper: ProofPaper, proofPpi: number): Proof =>
  printedOn(
    printings.map(({ plate, ink }) => ({
      plane: openInk(plate, proofPpi),
      ink,
      onSamePlate: plate.window !== undefined,
    })),
    paper,
    proofPpi,
  );

/** Likewise from planes of ink at `proofPpi`. */
export function printedOn(printings: readonly PlanePrinting[], paper: ProofPaper, proofPpi: number): Proof {
  const planes = printings.map(({ plane }) => plane);
  const primaries = overprints(
    paper.light,
    printings.map(({ ink }) => ink),
  );
  const marginPx = paper.marginMm > 0 ? proofPx(paper.marginMm, proofPpi) : 0;
  const widthPx = Math.max(...planes.map((plane) => plane.widthPx)) + 2 * marginPx;
  const heightPx = Math.max(...planes.map((plane) => plane.heightPx)) + 2 * marginPx;
  // inks side by side on one plate leave its edge in the paper once
  const marking = planes.filter((_, i) => i === 0 || !printings[i]!.onSamePlate);
  const shades = paper.plateMark
    ? marking.map((plane) =>
        openPlateMark(
          {
            leftPx: marginPx,
            topPx: marginPx,
            widthPx: plane.widthPx,
            heightPx: plane.heightPx,
            pxPerMm: proofPpi / MM_PER_INCH,
          },
          widthPx,
          heightPx,
        ),
      )
    : [];
  const inks = planes.map(() => new Float32Array(widthPx));
  const shade = openShade(shades, widthPx);
  const lost = paper.coarse ? COARSE : 0;
  const ink = planes.length === 1 ? openInkPainter(coloursByShare(primaries, lost), widthPx) : null;
  const [only] = planes;
  if (ink !== null && only?.kept && shades.length === 0)
    return {
      widthPx,
      heightPx,
      ppi: proofPpi,
      marginPx,
      write: writingKept(ink, only, only.kept, marginPx),
    };
  const paint = openPainter(primaries, planes.length, lost, ink);

  const write: RgbRows['write'] = (fromRow, toRow, into, at, strideBytes) => {
    for (let y = fromRow, to = at; y < toRow; y++, to += strideBytes) {
      for (const [i, plane] of planes.entries()) inkRow(plane, y - marginPx, marginPx, inks[i]!);
      paint(inks, shade(y), into, to);
    }
  };
  return { widthPx, heightPx, ppi: proofPpi, marginPx, write };
}

/** Writes a print straight from the bytes that its ink was kept in, on paper without a plate mark. */
function writingKept(
  ink: InkPainter,
  { widthPx, heightPx }: PlaneSize,
  kept: Uint8Array,
  marginPx: number,
): RgbRows['write'] {
  return (fromRow, toRow, into, at, strideBytes) => {
    for (let row = fromRow, to = at; row < toRow; row++, to += strideBytes) {
      const y = row - marginPx;
      const count = y >= 0 && y < heightPx ? widthPx : 0;
      ink.paintKept(kept, y * widthPx, count, marginPx, into, to);
    }
  };
}

/** What plates' edges do to the light of a row of the paper. */
interface Shade {
  /** 1 = nothing, by pixel. */
  readonly light: Float32Array;
  /** The pixels where it is not 1. */
  readonly at: readonly number[];
}

/** All edges together; good until another row is asked for. */
function openShade(rows: readonly ShadeRow[], widthPx: number): (y: number) => Shade {
  const each = rows.map(() => new Float32Array(widthPx));
  const light = new Float32Array(widthPx).fill(1);
  let at: readonly number[] = [];
  return (y) => {
    let changed = false;
    for (let i = 0; i < rows.length; i++) changed = rows[i]!(y, each[i]!) || changed;
    if (changed) {
      light.fill(1);
      for (const one of each) for (let x = 0; x < widthPx; x++) light[x] = light[x]! * one[x]!;
      at = [...light.keys()].filter((x) => light[x] !== 1);
    }
    return { light, at };
  };
}

/** Writes a row of red, green and blue from `at` on, given each plate's ink and the shade of the paper. */
type Painter = (inks: readonly Float32Array[], shade: Shade, bytes: Uint8Array, at: number) => void;

/** `lost`: bits of each byte that are always set; `ink` paints where there is but one. */
function openPainter(primaries: Primaries, count: number, lost: number, ink: InkPainter | null): Painter {
  const shares = Array.from({ length: count }, () => 0);
  const light = new Float64Array(3);
  const pixel: (...at: [readonly Float32Array[], number, number, Uint8Array, number]) => void = (
    inks,
    x,
    shade,
    bytes,
    at,
  ) => {
    for (let i = 0; i < count; i++) shares[i] = inks[i]![x]!;
    neugebauer(shares, primaries, light);
    for (let channel = 0; channel < 3; channel++)
      bytes[at + channel] = codeOfLight(light[channel]! * shade * LIGHT_STEPS) | lost;
  };
  if (ink === null)
    return (inks, { light: shade }, bytes, at) => {
      for (let x = 0; x < shade.length; x++) pixel(inks, x, shade[x]!, bytes, at + 3 * x);
    };
  return (inks, shade, bytes, at) => {
    ink.paint(inks[0]!, bytes, at);
    for (const x of shade.at) pixel(inks, x, shade.light[x]!, bytes, at + 3 * x);
  };
}

/** The colours that one ink makes, as 0xbbggrr, by its share in steps. */
function coloursByShare(primaries: Primaries, lost: number): Int32Array {
  const light = new Float64Array(3);
  const shares = [0];
  const code = (channel: number): number => codeOfLight(light[channel]! * LIGHT_STEPS) | lost;
  const colours = new Int32Array(INK_STEPS + 1);
  for (let i = 0; i < colours.length; i++) {
    shares[0] = i / INK_STEPS;
    neugebauer(shares, primaries, light);
    colours[i] = code(0) | (code(1) << 8) | (code(2) << 16);
  }
  return colours;
}

/** One row of a plate's ink on the wider paper. */
function inkRow({ widthPx, heightPx, rows }: InkPlane, y: number, left: number, into: Float32Array): void {
  into.fill(0);
  if (y >= 0 && y < heightPx) rows(y, into.subarray(left, left + widthPx));
}
