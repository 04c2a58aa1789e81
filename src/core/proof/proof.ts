import { MM_PER_INCH } from '../geometry.ts';
import { encodeSrgb } from '../srgb.ts';
import type { PlaneSize } from './box.ts';
import type { Light } from './colour.ts';
import { type InkedPlate, type InkPlane, openInk, proofPx } from './ink.ts';
import { type Ink, neugebauer, overprints } from './overprint.ts';
import { openPlateMark } from './plate-mark.ts';

/** The paper, and what a plate does to it besides its ink. */
export interface ProofPaper {
  readonly light: Light;
  /** Paper seen around the plate, in mm. */
  readonly marginMm: number;
  /** True where the press leaves the plate's edge in the paper. */
  readonly plateMark: boolean;
}

/** One printing of a proof; several, in the order they are printed, lie over each other from the same corner. */
export interface Printing {
  readonly plate: InkedPlate;
  readonly ink: Ink;
}

/** A picture that is made row by row. */
export interface RgbRows extends PlaneSize {
  readonly ppi: number;
  /** The rows [fromRow, toRow) as red, green and blue, a byte each, sRGB. Any range gives the same bytes as the whole. */
  readonly rows: (fromRow: number, toRow: number) => Uint8Array;
}

/** A proof, and where the plate lies on it. */
export interface Proof extends RgbRows {
  readonly marginPx: number;
}

const CODES = 65_536;
/** sRGB byte of light in steps of 1/65535; finer than a byte even in the blacks. */
const codeOf = Uint8Array.from({ length: CODES }, (_, i) => Math.round(255 * encodeSrgb(i / (CODES - 1))));

/** The print as it should look, print-reading, on its paper, at `proofPpi` pixels an inch. At least one printing. */
export function openProof(printings: readonly Printing[], paper: ProofPaper, proofPpi: number): Proof {
  const planes = printings.map(({ plate }) => openInk(plate, proofPpi));
  const primaries = overprints(
    paper.light,
    printings.map(({ ink }) => ink),
  );
  const marginPx = paper.marginMm > 0 ? proofPx(paper.marginMm, proofPpi) : 0;
  const widthPx = Math.max(...planes.map((plane) => plane.widthPx)) + 2 * marginPx;
  const heightPx = Math.max(...planes.map((plane) => plane.heightPx)) + 2 * marginPx;
  const shades = paper.plateMark
    ? planes.map((plane) =>
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
  const shade = new Float32Array(widthPx);
  const oneShade = new Float32Array(widthPx);
  const shares = planes.map(() => 0);
  const light = new Float64Array(3);

  const rows = (fromRow: number, toRow: number): Uint8Array => {
    const bytes = new Uint8Array((toRow - fromRow) * widthPx * 3);
    let at = 0;
    for (let y = fromRow; y < toRow; y++) {
      for (const [i, plane] of planes.entries()) inkRow(plane, y - marginPx, marginPx, inks[i]!);
      shade.fill(1);
      for (const row of shades) {
        row(y, oneShade);
        for (let x = 0; x < widthPx; x++) shade[x] = shade[x]! * oneShade[x]!;
      }
      for (let x = 0; x < widthPx; x++) {
        for (let i = 0; i < shares.length; i++) shares[i] = inks[i]![x]!;
        neugebauer(shares, primaries, light);
        for (let channel = 0; channel < 3; channel++) {
          const value = light[channel]! * shade[x]! * (CODES - 1) + 0.5;
          bytes[at++] = codeOf[Math.min(CODES - 1, value) | 0]!;
        }
      }
    }
    return bytes;
  };
  return { widthPx, heightPx, ppi: proofPpi, marginPx, rows };
}

/** One row of a plate's ink on the wider paper. */
function inkRow({ widthPx, heightPx, rows }: InkPlane, y: number, left: number, into: Float32Array): void {
  into.fill(0);
  if (y >= 0 && y < heightPx) rows(y, into.subarray(left, left + widthPx));
}
