import { laid, type Piece, type Place, type Room, type Sheets } from './contract.ts';

interface Shelf {
  readonly heightPx: number;
  /** Where the next piece would begin. */
  nextPx: number;
  readonly places: { readonly piece: number; readonly xPx: number }[];
}

/** Indices from tall to low, then from wide to narrow, as they lie; among equals in their own order. */
function fromTall(shapes: readonly Piece[]): number[] {
  const order = shapes.map((_, index) => index);
  return order.sort((a, b) => {
    const one = shapes[a]!;
    const other = shapes[b]!;
    return other.heightPx - one.heightPx || other.widthPx - one.widthPx || a - b;
  });
}

/**
 * Rows of pieces side by side, so that they share the turning of the carriage: each piece, from tall to low, on the
 * first row that has room for it, and each row on the first sheet that has (first fit by decreasing height: Coffman,
 * Garey, Johnson, Tarjan 1980; sheets likewise: Chung, Garey, Johnson 1982). `turns` says how each piece is to lie;
 * every one must fit the room so.
 */
export function packShelves(pieces: readonly Piece[], turns: readonly boolean[], room: Room): Sheets {
  const shapes = pieces.map((piece, index) => laid(piece, turns[index]!));
  const shelves: Shelf[] = [];
  for (const piece of fromTall(shapes)) {
    const { widthPx, heightPx } = shapes[piece]!;
    let shelf = shelves.find(({ nextPx }) => nextPx + widthPx <= room.widthPx);
    if (!shelf) {
      shelf = { heightPx, nextPx: 0, places: [] };
      shelves.push(shelf);
    }
    shelf.places.push({ piece, xPx: shelf.nextPx });
    shelf.nextPx += widthPx + room.gutterPx;
  }
  const sheets: { nextPx: number; readonly places: Place[] }[] = [];
  for (const { heightPx, places } of shelves) {
    let sheet = sheets.find(({ nextPx }) => nextPx + heightPx <= room.heightPx);
    if (!sheet) {
      sheet = { nextPx: 0, places: [] };
      sheets.push(sheet);
    }
    for (const { piece, xPx } of places)
      sheet.places.push({ piece, xPx, yPx: sheet.nextPx, turned: turns[piece]! });
    sheet.nextPx += heightPx + room.gutterPx;
  }
  return sheets.map(({ places }) => places);
}
