import { strideFor } from '../../bitmap.ts';
import { openWasm } from '../../wasm/open.ts';
import type { CellLoops } from './contract.ts';
import { diffuseText, MOVED_AT, packText, RULES_AT } from './diffuse-text.ts';
import { type CellTones, readLast, scaleOf } from './sums.ts';
import { addText, joinText, type Parts, partsOf, readText, SCALE_AT } from './sums-text.ts';

/** What a row of cells is worked out by, and from. */
export interface LoopsPlace extends CellTones {
  readonly cells: number;
  /** Rows of cells whose tones are gathered before the first of them is screened. */
  readonly waiting: number;
  /** See `rulesFor`. */
  readonly rules: Int32Array;
  /** Cells after which the texture begins anew, a power of two. */
  readonly textureCells: number;
}

/** Wider cells are rare and quick. */
const WIDEST_PX = 32;
/** Pixels that are added, and cells that are read or packed, in one step. */
const STEP_PX = 8;
const STEP_CELLS = 16;
/** Behind a row of sums lie those of the cells that only a whole step has. */
const whole = (count: number, step: number): number => Math.ceil(count / step) * step;

const kernelsFor = (parts: Parts) => ({
  begin: addText(parts, true),
  add: addText(parts, false),
  join: joinText(parts.count),
  exact: readText(true),
  near: readText(false),
  diffuse: diffuseText,
  pack: packText,
});
/** One for each width of cells. */
const kernels = new Map<number, ReturnType<typeof kernelsFor>>();

function kernelsOf(cellXPx: number): ReturnType<typeof kernelsFor> {
  const known = kernels.get(cellXPx) ?? kernelsFor(partsOf(cellXPx));
  kernels.set(cellXPx, known);
  return known;
}

/** Where everything lies, in bytes; numbers of 32 bits but for tone (16) and bits. */
function layoutOf({ cells, cellPx, widthPx, waiting, textureCells }: LoopsPlace) {
  // a cell's place in the texture is told by its address: the first lies at a whole multiple
  const keptAt = whole(MOVED_AT + 4 * textureCells + 4, 4 * textureCells);
  const room = 4 * whole(cells + 1, STEP_CELLS);
  const tonesAt = keptAt + room;
  const sumsAt = tonesAt + room;
  const parts = partsOf(cellPx.x);
  const toneAt = sumsAt + room * waiting;
  const partsAt = toneAt + 2 * whole(Math.max(widthPx, cells * cellPx.x), STEP_PX);
  const bitsAt = partsAt + (parts.count === 1 ? 0 : 4 * whole(cells * parts.count, STEP_PX));
  return { keptAt, tonesAt, sumsAt, room, toneAt, partsAt, bitsAt, bytes: bitsAt + room };
}

/** The loops over cells by vectors and, where one cell waits for the other, plain WebAssembly. Null where the engine has none, or no room for a memory. */
export function openVectorLoops(place: LoopsPlace): CellLoops | null {
  const { cells, cellPx, widthPx, textureCells } = place;
  if (Math.max(cellPx.x, cellPx.y) > WIDEST_PX) return null;
  const { keptAt, tonesAt, sumsAt, room, toneAt, partsAt, bitsAt, bytes } = layoutOf(place);
  const opened = openWasm(kernelsOf(cellPx.x), bytes);
  if (opened === null) return null;
  const { buffer } = opened;
  // taken out of their object, whose shape is another each time: see `openVectorRows`
  const { begin, add: addOn, join, exact, near, diffuse, pack } = opened.run;
  new Int32Array(buffer, RULES_AT, place.rules.length).set(place.rules);
  const { base, scale, most } = scaleOf(place, cellPx.x * cellPx.y);
  new Float64Array(buffer, SCALE_AT, 2).fill(scale);
  const read = Number.isInteger(scale) ? exact : near;
  const isJoined = partsOf(cellPx.x).count > 1;
  const toneRow = new Uint16Array(buffer, toneAt, widthPx);
  const sums = Array.from(
    { length: place.waiting },
    (_, i) => new Int32Array(buffer, sumsAt + i * room, cells),
  );
  const tones = new Int32Array(buffer, tonesAt, cells);
  const bits = new Uint8Array(buffer, bitsAt, strideFor(cells));
  const padding = 0xff << (8 * bits.length - cells);
  return {
    tones,
    kept: new Int32Array(buffer, keptAt - 4, cells + 2),
    moved: new Int32Array(buffer, MOVED_AT, textureCells),
    bits,
    add(tone, to, row) {
      toneRow.set(tone);
      const sumsTo = sumsAt + to * room;
      const add = row === 0 ? begin : addOn;
      add(toneAt, toneAt + 2 * widthPx, isJoined ? partsAt : sumsTo);
      if (isJoined && row === cellPx.y - 1) join(partsAt, sumsTo, sumsTo + 4 * cells);
    },
    read(from) {
      read(sumsAt + from * room, tonesAt, tonesAt + 4 * cells, base, scale, most);
      readLast(sums[from]!, place, tones);
    },
    diffuse(back) {
      const [first, end, step] = back ? [cells - 1, -1, -4] : [0, cells, 4];
      diffuse(keptAt + 4 * first, keptAt + 4 * end, step, tonesAt - keptAt, 4 * (textureCells - 1));
    },
    pack() {
      pack(keptAt, keptAt + 4 * cells, bitsAt);
      bits[bits.length - 1]! &= padding;
    },
  };
}
