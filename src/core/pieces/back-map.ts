import { textStrokes, textWidthMm } from '../layout/strokefont.ts';
import type { LinePage, PointMm } from '../outlines/contract.ts';

/** Around the canvas, and above it for what the page is. */
const MARGIN_MM = 10;
const HEAD_MM = 14;
const LETTERS_MM = 3;
/** Id and arrow take so much of the square that fits into a piece, and are no larger than this. */
const ID_SHARE = 0.35;
const LARGEST_MM = 5;
const ARROW_MM = 1.2;

const strokesOf = (text: string, xMm: number, yMm: number, heightMm: number): PointMm[][] =>
  textStrokes(text, { xMm, yMm, heightMm }).map((stroke) => stroke.map(({ xMm: x, yMm: y }) => ({ x, y })));

/** A piece on the map: its id, and the largest square that fits into it. */
export interface MappedPiece {
  readonly id: string;
  /** Middle of the square, print-reading. */
  readonly innerMm: PointMm;
  readonly sideMm: number;
}

/** What the map shows, in mm of the canvas. */
export interface BackMapWish {
  readonly widthMm: number;
  readonly heightMm: number;
  /** True where the faces of the pieces are mirrored, as those of plates are: their backs then read as the print does. */
  readonly facesMirrored: boolean;
  /** What the page says of itself. */
  readonly title: string;
}

/** The id of a piece in its middle, and an arrow to the head of the print above it. */
function idOf({ id, innerMm: { x, y }, sideMm }: MappedPiece): PointMm[][] {
  const wide = textWidthMm(id, 1);
  const heightMm = Math.min(LARGEST_MM, ID_SHARE * sideMm, (0.9 * sideMm) / wide);
  const arrow = ARROW_MM * heightMm;
  const tip = { x, y: y - arrow };
  const head = 0.25 * heightMm;
  return [
    [{ x, y }, tip],
    [{ x: x - head, y: tip.y + head }, tip, { x: x + head, y: tip.y + head }],
    ...strokesOf(id, x - (wide * heightMm) / 2, y + 1.2 * heightMm, heightMm),
  ];
}

/**
 * A map to mark the backs of the pieces by, each with its id and an arrow to the head of the print, as they are seen from
 * behind: turned over like the page of a book, head up. `lines` and places are print-reading, in mm from the corner of
 * the picture; ids are never mirrored.
 */
export function backMap(
  lines: readonly (readonly PointMm[])[],
  pieces: readonly MappedPiece[],
  { widthMm, heightMm, facesMirrored, title }: BackMapWish,
): LinePage {
  const seen = ({ x, y }: PointMm): PointMm => ({ x: facesMirrored ? x : widthMm - x, y });
  const moved = (points: readonly PointMm[]): PointMm[] =>
    points.map(({ x, y }) => ({ x: x + MARGIN_MM, y: y + HEAD_MM + MARGIN_MM }));
  const letters = Math.min(LETTERS_MM, widthMm / textWidthMm(title, 1));
  return {
    widthMm: widthMm + 2 * MARGIN_MM,
    heightMm: heightMm + HEAD_MM + 2 * MARGIN_MM,
    lines: [
      { paths: [], strokes: lines.map((line) => moved(line.map(seen))) },
      {
        paths: [],
        strokes: [
          ...pieces.flatMap((piece) => idOf({ ...piece, innerMm: seen(piece.innerMm) })).map(moved),
          ...strokesOf(title, MARGIN_MM, HEAD_MM, letters),
        ],
      },
    ],
  };
}
