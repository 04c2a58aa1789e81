import { type Orientation, turnOf, uprightSize } from '../core/geometry-orientation.ts';
import { readExactly } from './exact.ts';
import type { Scratch } from './scratch.ts';

/** One row of grey samples as they lie in the scratch: 8 or 16 bit, 0 = black. */
export type SampleRow = Uint8Array | Uint16Array;

/** Reads a scratch row by row, turned upright. Rows may be asked for in any order; neighbours are cheap. */
export interface RowReader {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bytesPerSample: 1 | 2;
  /** An empty row of the right kind and length for `read`. */
  newRow(): SampleRow;
  /** Fills `into` with upright row `y`, 0 … heightPx − 1. */
  read(y: number, into: SampleRow): void;
}

// Large enough that a call costs little per row, small enough for the nearest cache; 16 strips of a 4,000-row picture.
const blockBytes = 1 << 20;
// A strip of columns reads one short run a stored row: more columns, fewer passes over the file.
const stripBytes = 4 << 20;

/** Opens a reader of upright rows. Costs 1 MB, or 4 MB where rows are stored columns; usable inside a worker. */
export function openRows(scratch: Scratch, orientation: Orientation): RowReader {
  const turn = turnOf(orientation);
  const { widthPx, heightPx } = uprightSize(orientation, scratch);
  const rows = turn.transposed
    ? columnRows(scratch, turn.flippedX, turn.flippedY)
    : plainRows(scratch, turn.flippedX, turn.flippedY);
  return {
    widthPx,
    heightPx,
    bytesPerSample: scratch.bytesPerSample,
    newRow: () => newSamples(scratch, widthPx),
    read(y, into) {
      if (!(y >= 0 && y < heightPx)) throw new RangeError(`row ${y} of ${heightPx}`);
      if (into.length !== widthPx || into.BYTES_PER_ELEMENT !== scratch.bytesPerSample) {
        throw new RangeError(`row of ${into.length} samples for a picture ${widthPx} px wide`);
      }
      rows(y, into);
    },
  };
}

function plainRows(scratch: Scratch, flippedX: boolean, flippedY: boolean) {
  const { widthPx, heightPx, bytesPerSample } = scratch;
  const blockRows = Math.min(heightPx, Math.max(1, Math.floor(blockBytes / (widthPx * bytesPerSample))));
  const block = newSamples(scratch, blockRows * widthPx);
  let held = -1;
  return (y: number, into: SampleRow): void => {
    const storedY = flippedY ? heightPx - 1 - y : y;
    const first = storedY - (storedY % blockRows);
    if (first !== held) {
      held = -1;
      fill(scratch, first * widthPx, block, 0, Math.min(blockRows, heightPx - first) * widthPx);
      held = first;
    }
    const from = (storedY - first) * widthPx;
    into.set(block.subarray(from, from + widthPx));
    if (flippedX) into.reverse();
  };
}

function columnRows(scratch: Scratch, flippedX: boolean, flippedY: boolean) {
  const { widthPx, heightPx, bytesPerSample } = scratch;
  const wanted = Math.floor(stripBytes / (heightPx * bytesPerSample));
  const stripColumns = Math.min(widthPx, Math.max(16, Math.min(256, wanted)));
  const strip = newSamples(scratch, stripColumns * heightPx);
  const run = newSamples(scratch, stripColumns * tileRows);
  let held = -1;
  return (y: number, into: SampleRow): void => {
    const storedX = flippedX ? widthPx - 1 - y : y;
    const first = storedX - (storedX % stripColumns);
    if (first !== held) {
      held = -1;
      fillStrip(scratch, first, Math.min(stripColumns, widthPx - first), run, strip);
      held = first;
    }
    const from = (storedX - first) * heightPx;
    into.set(strip.subarray(from, from + heightPx));
    if (flippedY) into.reverse();
  };
}

// Stored rows turned at a time: short enough that the lines being written stay in the nearest cache.
const tileRows = 64;

/** Reads `columns` stored columns from `firstX` on and lays each down as a row. */
function fillStrip(
  scratch: Scratch,
  firstX: number,
  columns: number,
  run: SampleRow,
  strip: SampleRow,
): void {
  const { widthPx, heightPx } = scratch;
  for (let top = 0; top < heightPx; top += tileRows) {
    const rows = Math.min(tileRows, heightPx - top);
    for (let row = 0; row < rows; row++) {
      fill(scratch, (top + row) * widthPx + firstX, run, row * columns, columns);
    }
    for (let column = 0; column < columns; column++) {
      const to = column * heightPx + top;
      for (let row = 0; row < rows; row++) strip[to + row] = run[row * columns + column]!;
    }
  }
}

const newSamples = (scratch: Scratch, length: number): SampleRow =>
  scratch.bytesPerSample === 1 ? new Uint8Array(length) : new Uint16Array(length);

function fill(scratch: Scratch, sample: number, into: SampleRow, at: number, length: number): void {
  const { fd, bytesPerSample, offsetBytes } = scratch;
  readExactly(fd, into.subarray(at, at + length), offsetBytes + sample * bytesPerSample);
}
