import { createRing, type RowRing, type RowShape } from './rows.ts';
import type { Spans } from './spans.ts';
import { findThin, type Stone } from './thin.ts';

/** One change to a bitmap that runs past. */
interface Pass {
  readonly flip: 0 | -1;
  readonly stone: Stone;
  /** Whether what is too thin grows by a pixel across or down, or (undefined) is given up. */
  readonly grow?: { readonly x: boolean; readonly y: boolean; readonly back: boolean };
}

/** A chain of passes: row y of its source gives row y − delayRows of `out`, within the row's spans. */
export interface Holder {
  readonly delayRows: number;
  readonly out: RowRing;
  step(y: number): void;
}

/**
 * What is held and how: bare paper first, then ink, so that strokes stay whole where both ask for the same pixels. What
 * is 1 pixel wide becomes 2, then what is 2 wide becomes 3, and so on, right and down first, then left and up: a line
 * is widened to what holds and no further, about its middle. Then what is still too thin goes, paper before ink.
 */
function passesFor(hold: Stone, inkFlip: 0 | -1): Pass[] {
  const most = Math.max(hold.x, hold.y);
  if (most === 1) return [];
  const sides = inkFlip === 0 ? ([-1, 0] as const) : ([0, -1] as const);
  const growing = sides.flatMap((flip) =>
    Array.from({ length: most - 1 }, (_, i): Pass => {
      const width = i + 2;
      const stone = { x: Math.min(width, hold.x), y: Math.min(width, hold.y) };
      return { flip, stone, grow: { x: width <= hold.x, y: width <= hold.y, back: i % 2 === 1 } };
    }),
  );
  return [...growing, ...sides.map((flip): Pass => ({ flip, stone: hold }))];
}

/** Rows, and pixels to either side, that a pass looks at. */
const reachOf = ({ stone, grow }: Pass): number =>
  Math.max(stone.x, stone.y) - 1 + (grow === undefined ? 0 : 1);

/** How many pixels around it decide about a pixel held to `hold`. */
export const holdReachPx = (hold: Stone): number =>
  passesFor(hold, 0).reduce((sum, pass) => sum + reachOf(pass), 0);

/** Rows that the first pass reads back into its source. */
const ROWS_BACK = 3;
/** Rows of its source that holding to `hold` reads back into. */
export const sourceRowsFor = (hold: Stone): number => Math.max(hold.x, hold.y) + ROWS_BACK;

function openPass(
  source: RowRing,
  shape: RowShape,
  { flip, stone, grow }: Pass,
  keepRows: number,
  spans: Spans,
): Holder {
  const finder = findThin(source, shape, flip, stone, ROWS_BACK, spans);
  const out = createRing(shape, keepRows);
  const { stride } = source;
  const from = source.words;
  const to = out.words;
  const thin = finder.thin.words;
  const upwards = grow?.y === true && grow.back;
  const delayRows = finder.delayRows + (upwards ? 1 : 0);

  const giveUp = (row: number, first: number, end: number): void => {
    const y = row - delayRows;
    const at = out.at(y);
    const here = source.at(y);
    const gone = finder.thin.at(y);
    for (let k = first; k < end; k++) to[at + k] = from[here + k]! ^ thin[gone + k]!;
  };
  const across = grow?.x === true;
  const down = grow?.y === true;
  const back = grow?.back === true;
  /** Grows the thin pixels right and down, or left and up, by one. */
  const widen = (row: number, first: number, end: number): void => {
    const y = row - delayRows;
    const at = out.at(y);
    const here = source.at(y);
    const own = finder.thin.at(y);
    const near = down ? finder.thin.at(back ? y + 1 : y - 1) : own;
    const sideways = across ? -1 : 0;
    let before = 0;
    let word = thin[own + first]! | thin[near + first]!;
    for (let k = first; k < end; k++) {
      const after = k + 1 < stride ? thin[own + k + 1]! | thin[near + k + 1]! : 0;
      const beside = back ? (word << 1) | (after >>> 31) : (word >>> 1) | (before << 31);
      to[at + k] = ((from[here + k]! ^ flip) | word | (beside & sideways)) ^ flip;
      before = word;
      word = after;
    }
  };

  const step = (y: number): void => {
    finder.step(y);
    spans.each(y, grow === undefined ? giveUp : widen);
  };
  return { delayRows, out, step };
}

/**
 * Holds the marks (set bits) and lands of the source to `hold`; the ink is the set bits (`inkFlip` 0) or the others (−1).
 * The last `keepRows` rows that came out stay readable. Only what lies in spans is worked at; what comes out is right
 * `holdReachPx` inside of them.
 */
export function openHold(
  source: RowRing,
  shape: RowShape,
  hold: Stone,
  inkFlip: 0 | -1,
  keepRows: number,
  spans: Spans,
): Holder {
  const passes: Holder[] = [];
  const delays: number[] = [];
  const list = passesFor(hold, inkFlip);
  let out = source;
  let delayRows = 0;
  list.forEach((pass, i) => {
    const next = list[i + 1]?.stone.y ?? 0;
    const opened = openPass(
      out,
      shape,
      pass,
      Math.max(i === list.length - 1 ? keepRows : 0, next + ROWS_BACK),
      spans,
    );
    passes.push(opened);
    delays.push(delayRows);
    delayRows += opened.delayRows;
    out = opened.out;
  });
  const step = (y: number): void => {
    for (let i = 0; i < passes.length; i++) passes[i]!.step(y - delays[i]!);
  };
  return { delayRows, out, step };
}
