import type { Loop, OutlinePath, PointMm } from '../outlines/contract.ts';
import { cutLines } from '../outlines/cut-lines.ts';
import { areaMm2, polygonsOf } from '../outlines/polygons.ts';
import { type Border, bordersOf, loopsAround, OUTSIDE } from './borders.ts';
import { type PieceCaution, pieceCautions } from './frail.ts';
import { type FlatColours, type Partition, partitionOf } from './partition.ts';
import { sheetsFor } from './sheets.ts';
import { smoothBorder } from './smooth-borders.ts';

/** Cut from one sheet, neighbours are a kerf apart; from sheets of their own they meet. */
export type JigsawCut = 'one-sheet' | 'own-sheets';

/** How a canvas is taken apart. */
export interface JigsawWish {
  /** Size of the canvas, whose cells may be coarser than the plate's pixels. */
  readonly widthMm: number;
  readonly heightMm: number;
  readonly kerfMm: number;
  readonly cut: JigsawCut;
}

/** One piece of the plate, of one colour. */
export interface JigsawPiece {
  readonly id: string;
  readonly colour: number;
  /** As it is on the print, print-reading, in mm; no kerf. */
  readonly loops: readonly Loop[];
  /** Of those lines. */
  readonly areaMm2: number;
  /** Side of the largest upright square in it. */
  readonly sideMm: number;
  /** The middle of that square. */
  readonly innerMm: PointMm;
  /** From 0; 0 for all where one sheet is cut. */
  readonly sheet: number;
  /** Lines that leave it so large as it is to be, kerf allowed for. Empty where one sheet is cut. */
  readonly paths: readonly OutlinePath[];
  readonly cautions: readonly PieceCaution[];
}

/** A canvas taken apart, print-reading. */
export interface Jigsaw {
  readonly cut: JigsawCut;
  readonly partition: Partition;
  readonly pieces: readonly JigsawPiece[];
  readonly sheets: number;
  /** Borders between pieces and around the canvas, each once, print-reading, in mm: what is cut where one sheet is. */
  readonly lines: readonly (readonly PointMm[])[];
  /** Width of the white line between pieces cut from one sheet. */
  readonly gapMm: number;
}

/** Furthest that curves lie from the borders: a fifth of a usual kerf. */
const TOLERANCE_MM = 0.03;

/** Divides a canvas of flat colours into jigsaw plates; every connected area of one colour is a piece. */
export function jigsawOf(canvas: FlatColours, { widthMm, heightMm, kerfMm, cut }: JigsawWish): Jigsaw {
  const partition = partitionOf(canvas);
  const cellMm = { x: widthMm / canvas.widthPx, y: heightMm / canvas.heightPx };
  const borders: Border[] = bordersOf(partition).map((border) => smoothBorder(border, cellMm));
  const apart = cut === 'own-sheets';
  const sheetOf = apart
    ? sheetsFor(borders, partition.pieces.length)
    : new Int32Array(partition.pieces.length);
  const byPiece = Array.from(partition.pieces, (): Border[] => []);
  for (const border of borders)
    for (const piece of [border.left, border.right]) if (piece !== OUTSIDE) byPiece[piece]!.push(border);
  const pieces = partition.pieces.map(({ id, colour, inner }, index): JigsawPiece => {
    const loops = loopsAround(byPiece[index]!, index);
    const polygons = polygonsOf(loops);
    const sideMm = inner.sidePx * Math.min(cellMm.x, cellMm.y);
    const innerMm = { x: (inner.xPx + 0.5) * cellMm.x, y: (inner.yPx + 0.5) * cellMm.y };
    return {
      id,
      colour,
      loops,
      areaMm2: areaMm2(polygons),
      sideMm,
      innerMm,
      sheet: sheetOf[index]!,
      paths: apart ? cutLines(polygons, kerfMm, TOLERANCE_MM) : [],
      cautions: pieceCautions(polygons, sideMm, innerMm),
    };
  });
  return {
    cut,
    partition,
    pieces,
    sheets: pieces.reduce((most, { sheet }) => Math.max(most, sheet + 1), 1),
    lines: borders.map(({ points }) => points),
    gapMm: apart ? 0 : kerfMm,
  };
}
