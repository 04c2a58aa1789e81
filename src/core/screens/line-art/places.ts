import type { Box } from '../../hold/clusters.ts';
import type { ScreenFinding } from '../contract.ts';

/** Pieces are joined where they lie so near, in pixels. */
const NEAR_PX = 6;
/** A place to look at is no longer than so many of the widths asked for: a letter or a short word. */
const PLACE_WIDTHS = 16;
const MOST_PIECES = 1024;
/** So many places of a kind are told, largest first. */
const MOST_PLACES = 40;

interface Found extends Box {
  readonly areaPx: number;
  readonly sizePx: number;
}

/** Pieces that were too narrow, as they are found. */
export interface Places {
  add(piece: Found): void;
  /** The pieces whose top row lies in [fromRow, toRow), joined into places, largest first. */
  told(code: string, fromRow: number, toRow: number): ScreenFinding[];
}

const byArea = (a: Found, b: Found): number => b.areaPx - a.areaPx || a.top - b.top || a.left - b.left;
const byTop = (a: Found, b: Found): number => a.top - b.top || a.left - b.left;

const longSide = (box: Box): number => Math.max(box.right - box.left, box.bottom - box.top);

const near = (a: Box, b: Box): boolean =>
  a.left - NEAR_PX < b.right &&
  b.left - NEAR_PX < a.right &&
  a.top - NEAR_PX < b.bottom &&
  b.top - NEAR_PX < a.bottom;

const joined = (a: Found, b: Found): Found => ({
  left: Math.min(a.left, b.left),
  top: Math.min(a.top, b.top),
  right: Math.max(a.right, b.right),
  bottom: Math.max(a.bottom, b.bottom),
  areaPx: a.areaPx + b.areaPx,
  sizePx: Math.min(a.sizePx, b.sizePx),
});

/** Joins what lies close together, as long as a place stays small; a long line or a frame is a place of its own. */
function join(pieces: readonly Found[], longestPx: number): Found[] {
  const places: Found[] = [];
  for (const piece of pieces.toSorted(byTop)) {
    let whole = piece;
    for (let i = places.length - 1; i >= 0; i--) {
      const other = places[i]!;
      if (!near(whole, other)) continue;
      const both = joined(other, whole);
      if (longSide(both) > longestPx) continue;
      whole = both;
      places.splice(i, 1);
    }
    places.push(whole);
  }
  return places;
}

/** Gathers pieces that are narrower than `widthPx`; of very many the largest. */
export function createPlaces(widthPx: number): Places {
  let pieces: Found[] = [];
  return {
    add(piece) {
      pieces.push(piece);
      if (pieces.length === 2 * MOST_PIECES) pieces = pieces.sort(byArea).slice(0, MOST_PIECES);
    },
    told(code, fromRow, toRow) {
      const own = pieces.filter(({ top }) => top >= fromRow && top < toRow);
      return join(own, PLACE_WIDTHS * widthPx)
        .sort(byArea)
        .slice(0, MOST_PLACES)
        .map(({ left, top, right, bottom, sizePx }) => ({
          code,
          xPx: left,
          yPx: top,
          widthPx: right - left,
          heightPx: bottom - top,
          sizePx,
          limitPx: widthPx,
        }));
    },
  };
}
