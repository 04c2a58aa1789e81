import { findPieces, type Piece, ribbonWidthPx } from '../../hold/components.ts';
import type { ScreenFinding } from '../contract.ts';
import { createPlaces } from './places.ts';
import type { RowRing, RowShape } from './rows.ts';
import type { Spans } from './spans.ts';
import { findThin, type Stone } from './thin.ts';

/** What is looked for: one side's pieces that the stone does not fit, told under `code`. */
export interface TooFine {
  readonly code: string;
  /** 0 looks at marks (set bits), −1 at lands. */
  readonly flip: 0 | -1;
  readonly stone: Stone;
}

/** Finds strokes and gaps too close together to be held, as rows run past. */
export interface FineRows {
  /** Least delay that `look` can do with. */
  readonly delayRows: number;
  /** Takes row y of the source. */
  step(y: number): void;
  /**
   * Looks at row y, no later than that delay allows, where `inside` (a row of words without guards) has bits. A row
   * without any is left out.
   */
  look(y: number, inside: Int32Array): void;
  /** Places with their top row in [fromRow, toRow), largest first. */
  found(fromRow: number, toRow: number): ScreenFinding[];
}

/** Width of a piece; undefined for the tip of a corner, which hangs on something wide enough and is short. */
function widthOf(piece: Piece, limitPx: number): number | undefined {
  const { left, top, right, bottom, areaPx } = piece;
  const wide = right - left;
  const high = bottom - top;
  if (piece.marked && Math.max(wide, high) < limitPx) return undefined;
  const solid = areaPx === wide * high;
  return solid ? Math.min(wide, high) : ribbonWidthPx(areaPx, piece.rowRuns, piece.columnRuns);
}

/**
 * Finds pieces of one side that are narrower than a stone, within what `look` is given as inside. Width is measured
 * across a stroke, however it slants. Rows are looked at `delayRows` after they came.
 */
export function openTooFine(
  source: RowRing,
  shape: RowShape,
  widthPx: number,
  { code, flip, stone }: TooFine,
  delayRows: number,
  spans: Spans,
): FineRows {
  const ownDelay = stone.y; // stone.y − 1 for the thin pixels, 1 for the row below
  const finder = findThin(source, shape, flip, stone, Math.max(ownDelay, delayRows) - stone.y + 5, spans);
  const limitPx = Math.max(stone.x, stone.y);
  const places = createPlaces(limitPx);
  const pieces = findPieces(widthPx, 8, (piece) => {
    const width = widthOf(piece, limitPx);
    if (width === undefined || width >= limitPx) return;
    const { left, top, right, bottom, areaPx } = piece;
    places.add({ left, top, right, bottom, areaPx, sizePx: Math.max(1, width) });
  });
  const { words: from, guard } = source;
  const thin = finder.thin.words;
  const own = new Int32Array(shape.words);
  const attached = new Int32Array(shape.words);

  /** Pixels wide enough in one word's row, and those beside them. */
  const wideNear = (at: number, thinAt: number): number => {
    const here = (from[at]! ^ flip) & ~thin[thinAt]!;
    const before = (from[at - 1]! ^ flip) & ~thin[thinAt - 1]!;
    const after = (from[at + 1]! ^ flip) & ~thin[thinAt + 1]!;
    return here | (here << 1) | (here >>> 1) | (after >>> 31) | (before << 31);
  };

  const look = (y: number, inside: Int32Array): void => {
    const at = source.at(y) + guard;
    const thinAt = finder.thin.at(y) + guard;
    const above = source.at(y - 1) + guard;
    const thinAbove = finder.thin.at(y - 1) + guard;
    const below = source.at(y + 1) + guard;
    const thinBelow = finder.thin.at(y + 1) + guard;
    for (let k = 0; k < own.length; k++) {
      const word = thin[thinAt + k]! & inside[k]!;
      own[k] = word;
      if (word === 0) {
        attached[k] = 0;
        continue;
      }
      const wide =
        wideNear(at + k, thinAt + k) |
        wideNear(above + k, thinAbove + k) |
        wideNear(below + k, thinBelow + k);
      attached[k] = word & wide;
    }
    pieces.row(own, 0, y, attached);
  };

  const found = (fromRow: number, toRow: number): ScreenFinding[] => {
    pieces.end();
    return places.told(code, fromRow, toRow);
  };
  return { delayRows: ownDelay, step: finder.step, look, found };
}
