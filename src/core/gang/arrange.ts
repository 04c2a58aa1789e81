import type { Motion } from '../time/motion.ts';
import {
  fitsRoom,
  laid,
  type MarkedPiece,
  type Piece,
  type Place,
  type Room,
  type Sheets,
} from './contract.ts';
import { packMaxRects } from './maxrects.ts';
import { sheetPassS } from './sheet-time.ts';
import { packShelves } from './shelves.ts';

/** How an arrangement was found. */
export type Method = 'rows' | 'free';

/** Plates laid on sheets in one way. */
export interface Arrangement {
  readonly method: Method;
  readonly sheets: Sheets;
  /** Time of one pass over all sheets, in seconds. */
  readonly passS: number;
}

/** The arrangement that takes the fewest sheets, then the least time. */
export interface Chosen extends Arrangement {
  /** Arrangements that were compared. */
  readonly compared: number;
}

type Packed = Pick<Arrangement, 'method' | 'sheets'>;

/** Whether a piece lies with its long side along the scan once it is turned, or not. */
const turnFor = (piece: Piece, long: 'along' | 'across', room: Room): boolean => {
  const wish = (long === 'along') !== piece.widthPx >= piece.heightPx;
  return fitsRoom(piece, wish, room) ? wish : !wish;
};

/** Mixtures of both ways to lie that are tried at most: of many plates a few more or less make no difference. */
const MIXTURES = 32;

/** Ways for all pieces to lie: as they are; then, of the largest ones on, ever more with their long side along the scan. */
function turnsToTry(pieces: readonly Piece[], room: Room, mayTurn: boolean): boolean[][] {
  if (!mayTurn) return [pieces.map(() => false)];
  const largest = pieces
    .map((_, index) => index)
    .sort(
      (a, b) => pieces[b]!.widthPx * pieces[b]!.heightPx - pieces[a]!.widthPx * pieces[a]!.heightPx || a - b,
    );
  const turns = pieces.map((piece) => turnFor(piece, 'across', room));
  const ways = [pieces.map((piece) => !fitsRoom(piece, false, room)), [...turns]];
  const step = Math.ceil(largest.length / MIXTURES);
  for (const [i, index] of largest.entries()) {
    turns[index] = turnFor(pieces[index]!, 'along', room);
    if ((i + 1) % step === 0 || i === largest.length - 1) ways.push([...turns]);
  }
  return ways;
}

/** All arrangements that are compared. A piece must fit the room upright, or turned where it may be turned. */
function* arrangements(pieces: readonly Piece[], room: Room, mayTurn: boolean): Generator<Packed> {
  const ways = turnsToTry(pieces, room, mayTurn);
  for (const turns of ways) yield { method: 'rows', sheets: packShelves(pieces, turns, room) };
  // as they are, all across, all along; the mixtures are the packer's own
  const plain = [ways[0]!, ways[1] ?? ways[0]!, ways.at(-1)!];
  for (const waste of ['area', 'edge'] as const) {
    for (const turns of plain) yield { method: 'free', sheets: packMaxRects(pieces, turns, room, waste) };
    if (mayTurn) yield { method: 'free', sheets: packMaxRects(pieces, null, room, waste) };
  }
}

/** Equal shapes change places so that they lie in their own order, row by row: people look for them so. */
export function inReadingOrder(sheets: Sheets, pieces: readonly Piece[]): Sheets {
  const all = sheets.flatMap((places, sheet) => places.map((place) => ({ ...place, sheet })));
  all.sort((a, b) => a.sheet - b.sheet || a.yPx - b.yPx || a.xPx - b.xPx);
  const waiting = new Map<string, number[]>();
  const shapeOf = ({ widthPx, heightPx }: Piece): string => `${widthPx} ${heightPx}`;
  for (const [index, piece] of pieces.entries()) {
    const same = waiting.get(shapeOf(piece)) ?? [];
    same.push(index);
    waiting.set(shapeOf(piece), same);
  }
  const ordered: Place[][] = sheets.map(() => []);
  for (const { sheet, piece, xPx, yPx, turned } of all) {
    const next = waiting.get(shapeOf(pieces[piece]!))!.shift()!;
    ordered[sheet]!.push({ piece: next, xPx, yPx, turned });
  }
  return ordered;
}

/**
 * The arrangement that takes the fewest sheets, and of those the least time on this machine; of equals the first.
 * Every piece must fit the room, as it is or, with `mayTurn`, turned.
 */
export function arrange(
  pieces: readonly MarkedPiece[],
  room: Room,
  mayTurn: boolean,
  pitchMm: number,
  motion: Motion,
): Chosen {
  const packed = [...arrangements(pieces, room, mayTurn)];
  const fewest = Math.min(...packed.map(({ sheets }) => sheets.length));
  let best: Arrangement | null = null;
  for (const { method, sheets: found } of packed) {
    if (found.length > fewest) continue;
    const sheets = inReadingOrder(found, pieces);
    const passS = sheets.reduce((sum, places) => sum + sheetPassS(places, pieces, pitchMm, motion), 0);
    if (best === null || passS < best.passS) best = { method, sheets, passS };
  }
  return { ...best!, compared: packed.length };
}

/**
 * Sheets that no arrangement can do without: the areas, each with a gutter on two of its sides, over the room's, which
 * its own gutters may overhang by one.
 */
export function leastSheets(pieces: readonly Piece[], room: Room): number {
  const withGutter = ({ widthPx, heightPx }: Piece): number =>
    (widthPx + room.gutterPx) * (heightPx + room.gutterPx);
  const area = pieces.reduce((sum, piece) => sum + withGutter(laid(piece, false)), 0);
  return Math.ceil(area / withGutter(room) - 1e-9);
}
