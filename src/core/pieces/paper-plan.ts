import { loopsOf, offset, polygonsOf } from '../outlines/polygons.ts';
import { solid } from '../separations/bits.ts';
import type { CutPiece, Laid } from '../separations/contract.ts';
import { type ChineWish, chineShape } from './chine.ts';
import type { Jigsaw, JigsawPiece } from './jigsaw.ts';
import { emptyMap, fillLoops, type PiecesPlan, type Raster } from './raster.ts';

type PaperWish = Pick<ChineWish, 'insetMm' | 'wetGrowth' | 'kerfMm' | 'face'>;

/** Papers are not lifted by their bridges or inked: of what makes a piece frail, only its size counts. */
const ofPaper = ({ cautions }: JigsawPiece): JigsawPiece['cautions'] =>
  cautions.filter(({ code }) => code === 'thin-bridge');

/** The inset piece when damp; empty where the inset leaves nothing of it. */
const insetOf = ({ loops }: JigsawPiece, { insetMm }: PaperWish) =>
  offset(polygonsOf(loops), -insetMm, 'mitred');

/** Papers for chine-collé: a sheet of each colour, its shapes so small that they have their size when damp, and one plate over all. */
export function paperPlan(
  { pieces, lines }: Jigsaw,
  inks: readonly string[],
  raster: Raster,
  wish: PaperWish,
): PiecesPlan {
  const canvasMm = raster.widthPx / raster.pxPerMm;
  const colours = inks.map((_, ink) => ink).filter((ink) => pieces.some(({ colour }) => colour === ink + 1));
  const laid: Laid[] = [];
  const cutPieces: CutPiece[] = [];
  const lost: string[] = [];
  const sheets = colours.map((ink, sheet) => {
    const map = emptyMap(raster);
    const paths = pieces.flatMap((piece) => {
      if (piece.colour !== ink + 1) return [];
      const wet = insetOf(piece, wish);
      if (wet.length === 0) {
        lost.push(piece.id);
        return [];
      }
      const shape = chineShape({ ...wish, loops: piece.loops, canvasMm });
      fillLoops(map, loopsOf(wet), raster.pxPerMm);
      const { id, innerMm, sideMm } = piece;
      const { widthMm, heightMm, areaMm2 } = shape;
      const size = { areaMm2, widthMm, heightMm };
      cutPieces.push({ id, ink, sheet, innerMm, sideMm, ...size, cautions: ofPaper(piece) });
      return shape.paths;
    });
    laid.push({ ink, plate: null, map });
    return { name: `paper-${inks[ink]!}`, asCut: true, paths, strokes: [] };
  });
  return {
    plates: [solid(raster.widthPx, raster.heightPx)],
    cut: {
      plates: [{ name: 'plate', ink: null }],
      sheets,
      pieces: cutPieces,
      lines,
      gapMm: 0,
      laid,
      ofPaper: true,
    },
    lost,
  };
}
