import type { EtchedSide } from '../../../../src/core/screens/contract.ts';
import type { LineArtPlace } from '../../../../src/core/screens/line-art/index.ts';
import type { Drawing } from '../drive.ts';

/** Line art the obvious way: a whole picture, pixel by pixel, with a wide margin that repeats the outermost pixels. */

/** A bitmap as true and false, with a margin on all sides. */
export interface Field {
  readonly width: number;
  readonly height: number;
  readonly bits: Uint8Array;
}

interface Size {
  readonly x: number;
  readonly y: number;
}

const alike = ({ width, height }: Field): Field => ({ width, height, bits: new Uint8Array(width * height) });

export function fieldOf(width: number, height: number, test: (x: number, y: number) => boolean): Field {
  const field = alike({ width, height, bits: new Uint8Array() });
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) if (test(x, y)) field.bits[y * width + x] = 1;
  return field;
}

const not = (field: Field): Field => ({ ...field, bits: field.bits.map((bit) => 1 - bit) });

/** Pixels that the stone covers somewhere inside the set bits. */
export function opened(field: Field, stone: Size): Field {
  const { width, height, bits } = field;
  const out = alike(field);
  for (let y = 0; y + stone.y <= height; y++) {
    for (let x = 0; x + stone.x <= width; x++) {
      let fits = true;
      for (let j = 0; j < stone.y && fits; j++)
        for (let i = 0; i < stone.x && fits; i++) fits = bits[(y + j) * width + x + i] === 1;
      if (!fits) continue;
      for (let j = 0; j < stone.y; j++) out.bits.fill(1, (y + j) * width + x, (y + j) * width + x + stone.x);
    }
  }
  return out;
}

export const closed = (field: Field, stone: Size): Field => not(opened(not(field), stone));

/** What is narrower than `stone` grows a pixel across (if `stone.x` asks for it) and down, `step` +1 or −1. */
function grown(field: Field, stone: Size, across: boolean, down: boolean, step: 1 | -1): Field {
  const { width, height } = field;
  const fit = opened(field, stone);
  const out = { ...field, bits: field.bits.slice() };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      if (!field.bits[y * width + x] || fit.bits[y * width + x]) continue;
      for (const dy of down ? [0, step] : [0]) {
        for (const dx of across ? [0, step] : [0]) {
          const toX = x + dx;
          const toY = y + dy;
          if (toX >= 0 && toY >= 0 && toX < width && toY < height) out.bits[toY * width + toX] = 1;
        }
      }
    }
  }
  return out;
}

function widened(field: Field, hold: Size): Field {
  let out = field;
  for (let width = 2; width <= Math.max(hold.x, hold.y); width++) {
    const stone = { x: Math.min(width, hold.x), y: Math.min(width, hold.y) };
    out = grown(out, stone, width <= hold.x, width <= hold.y, width % 2 === 0 ? 1 : -1);
  }
  return out;
}

/** Paper widened, then ink, then paper closed and ink opened; etched is what the field's set bits are. */
function slowHold(field: Field, hold: Size, etchedSide: EtchedSide): Field {
  if (etchedSide === 'paper') return not(slowHold(not(field), hold, 'ink'));
  const papers = not(widened(not(field), hold));
  return opened(closed(widened(papers, hold), hold), hold);
}

const MARGIN = 48;

/** The tone with its margin: as many pixels more on every side. */
const toneAround = ({ widthPx, heightPx, toneAt }: Drawing, x: number, y: number): number =>
  toneAt(Math.min(widthPx - 1, Math.max(0, x)), Math.min(heightPx - 1, Math.max(0, y)));

function slowThreshold(drawing: Drawing, place: LineArtPlace): Field {
  const half = (place.darkestTone + place.lightestTone) / 2;
  return fieldOf(drawing.widthPx + 2 * MARGIN, drawing.heightPx + 2 * MARGIN, (x, y) => {
    const ink = toneAround(drawing, x - MARGIN, y - MARGIN) > half;
    return place.etchedSide === 'ink' ? ink : !ink;
  });
}

/** The held line bitmap of a whole drawing, without margin. */
export function slowEtched(drawing: Drawing, place: LineArtPlace): Field {
  const held = slowHold(
    slowThreshold(drawing, place),
    { x: place.holdXPx, y: place.holdYPx },
    place.etchedSide,
  );
  return fieldOf(
    drawing.widthPx,
    drawing.heightPx,
    (x, y) => held.bits[(y + MARGIN) * held.width + x + MARGIN] === 1,
  );
}

/** Line art or not, for every cell. */
export function slowCells(drawing: Drawing, place: LineArtPlace): boolean[][] {
  const { cellXPx, cellYPx, darkestTone, lightestTone } = place;
  const columns = Math.ceil(drawing.widthPx / cellXPx);
  const rows = Math.ceil(drawing.heightPx / cellYPx);
  const full = darkestTone - lightestTone;
  const half = Math.floor(full / 2) / full;
  const share = (x: number, y: number): number =>
    Math.max(0, toneAround(drawing, x, y) - lightestTone) / full;
  const known = new Map<number, number[]>();
  const cell = (column: number, row: number): number[] => {
    const inside = Math.min(columns - 1, Math.max(0, column));
    const key = row * columns + inside;
    const tones: number[] = known.get(key) ?? [];
    if (tones.length > 0) return tones;
    known.set(key, tones);
    for (let j = 0; j < cellYPx; j++)
      for (let i = 0; i < cellXPx; i++) tones.push(share(inside * cellXPx + i, row * cellYPx + j));
    return tones;
  };
  const isSide = (column: number, row: number, dark: boolean): boolean =>
    cell(column, row).every((tone) => tone > half === dark);
  const isTone = (column: number, row: number, dark: boolean): boolean => {
    const tones = cell(column, row);
    const grey = tones.reduce((sum, tone) => sum + Math.min(tone, 1 - tone), 0) / tones.length;
    return isSide(column, row, dark) && grey >= 10 / 255;
  };
  /** Is there a square of `side` cells, all of which pass, within `reach` cells? */
  const isNear = (
    at: readonly [column: number, row: number],
    side: number,
    reach: number,
    passes: (column: number, row: number) => boolean,
  ): boolean => {
    for (let top = at[1] - reach; top + side - 1 <= at[1] + reach; top++)
      for (let left = at[0] - reach; left + side - 1 <= at[0] + reach; left++) {
        let all = true;
        for (let j = 0; j < side && all; j++)
          for (let i = 0; i < side && all; i++) all = passes(left + i, top + j);
        if (all) return true;
      }
    return false;
  };
  const isToneEdge = (column: number, row: number): boolean =>
    [true, false].some(
      (dark) =>
        isNear([column, row], 3, 3, (i, j) => isTone(i, j, dark)) &&
        isNear([column, row], 4, 6, (i, j) => isSide(i, j, !dark)),
    );
  return Array.from({ length: rows }, (_, row) =>
    Array.from({ length: columns }, (_, column) => {
      const window: number[][] = [];
      for (let j = -2; j <= 2; j++) for (let i = -2; i <= 2; i++) window.push(cell(column + i, row + j));
      const all = window.flat();
      const between = all.reduce((sum, tone) => sum + Math.min(tone, 1 - tone), 0) / all.length;
      const isClear = Math.max(...all) - Math.min(...all) >= 190 / 255 && between <= 50 / 255;
      return isClear && !isToneEdge(column, row);
    }),
  );
}

/** Cells in whose 5 × 5 window holding changes more than two fifths, or takes more than half of one side; changes in line art alone count. */
export function slowChanged(drawing: Drawing, place: LineArtPlace, cells: boolean[][]): boolean[][] {
  const before = slowThreshold(drawing, place);
  const after = slowHold(before, { x: place.holdXPx, y: place.holdYPx }, place.etchedSide);
  const change = (column: number, row: number): number => {
    if (!cells[Math.min(cells.length - 1, Math.max(0, row))]?.[column]) return 0;
    let sum = 0;
    for (let y = row * place.cellYPx; y < (row + 1) * place.cellYPx; y++) {
      for (let x = column * place.cellXPx; x < Math.min(drawing.widthPx, (column + 1) * place.cellXPx); x++) {
        const at = (y + MARGIN) * before.width + x + MARGIN;
        sum += after.bits[at]! - before.bits[at]!;
      }
    }
    return sum;
  };
  return cells.map((all, row) =>
    all.map((_, column) => {
      let sum = 0;
      for (let j = -2; j <= 2; j++) for (let i = -2; i <= 2; i++) sum += change(column + i, row + j);
      const size = Math.abs(sum);
      if (size <= Math.floor(2.5 * Math.min(place.cellXPx, place.cellYPx))) return false;
      let had = 0;
      for (let y = (row - 2) * place.cellYPx; y < (row + 3) * place.cellYPx; y++) {
        for (let x = (column - 2) * place.cellXPx; x < (column + 3) * place.cellXPx; x++) {
          if (x < 0 || x >= drawing.widthPx) continue;
          const etched = before.bits[(y + MARGIN) * before.width + x + MARGIN] === 1;
          if (etched === sum < 0) had++;
        }
      }
      return size > 0.4 * 25 * place.cellXPx * place.cellYPx || size > had / 2;
    }),
  );
}
