import type { Bitmap } from '../bitmap.ts';
import { boxMm, loopsOf, offset, polygonsOf } from '../outlines/polygons.ts';
import { grown } from '../separations/bits.ts';
import type { CutSheet, Laid } from '../separations/contract.ts';
import type { Jigsaw, JigsawPiece } from './jigsaw.ts';
import { emptyMap, fillLoops, type PiecesPlan, type Raster } from './raster.ts';

/** Faces go so far over the line of the cut, so that a cut a little off its place leaves no bare rim; from memory. */
const BLEED_MM = 0.5;

/** Label 0 is bare paper: such pieces carry no ink. */
const inkOf = ({ colour }: JigsawPiece): number | null => (colour === 0 ? null : colour - 1);

/** What a piece prints: all of it, or all but half the gap around it. */
function fillPiece(map: Bitmap, { loops }: JigsawPiece, gapMm: number, pxPerMm: number): void {
  const printed = gapMm > 0 ? loopsOf(offset(polygonsOf(loops), -gapMm / 2, 'mitred')) : loops;
  fillLoops(map, printed, pxPerMm);
}

/** The ink that covers most of a sheet; null where all its pieces stay bare. */
function mainInk(pieces: readonly JigsawPiece[]): number | null {
  const areas = new Map<number, number>();
  for (const piece of pieces) {
    const ink = inkOf(piece);
    if (ink !== null) areas.set(ink, (areas.get(ink) ?? 0) + piece.areaMm2);
  }
  let [best, most] = [null as number | null, 0];
  for (const [ink, area] of areas) if (area > most) [best, most] = [ink, area];
  return best;
}

/** A jigsaw as a set: a plate for each sheet that is cut, where its faces carry ink, and what is printed where. */
export function jigsawPlan(jigsaw: Jigsaw, raster: Raster): PiecesPlan {
  const { pieces, gapMm, lines } = jigsaw;
  const isOne = jigsaw.cut === 'one-sheet';
  const laid: Laid[] = [];
  const plates: Bitmap[] = [];
  const sheets: CutSheet[] = [];
  for (let sheet = 0; sheet < jigsaw.sheets; sheet++) {
    const own = pieces.filter((piece) => piece.sheet === sheet);
    const faces = emptyMap(raster);
    for (const ink of new Set(own.map(inkOf))) {
      if (ink === null) continue;
      const map = emptyMap(raster);
      for (const piece of own) {
        if (inkOf(piece) !== ink) continue;
        fillLoops(faces, piece.loops, raster.pxPerMm);
        fillPiece(map, piece, gapMm, raster.pxPerMm);
      }
      laid.push({ ink, plate: sheet, map });
    }
    plates.push(grown(faces, Math.round(BLEED_MM * raster.pxPerMm)));
    sheets.push({
      name: isOne ? 'plate' : `sheet-${sheet + 1}`,
      asCut: false,
      paths: own.flatMap(({ paths }) => paths),
      strokes: isOne ? lines : [],
    });
  }
  return {
    plates,
    lost: [],
    cut: {
      plates: sheets.map(({ name }, sheet) => ({
        name,
        ink: mainInk(pieces.filter((piece) => piece.sheet === sheet)),
      })),
      sheets,
      pieces: pieces.map((piece) => {
        const { left, right, top, bottom } = boxMm(polygonsOf(piece.loops));
        const { id, sheet, areaMm2, innerMm, sideMm, cautions } = piece;
        const size = { widthMm: right - left - gapMm, heightMm: bottom - top - gapMm };
        return { id, ink: inkOf(piece), sheet, areaMm2, innerMm, sideMm, ...size, cautions };
      }),
      lines,
      gapMm,
      laid: laid.sort((one, other) => one.ink - other.ink),
      ofPaper: false,
    },
  };
}
