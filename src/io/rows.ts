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
// Every strip of columns is one pass over the stored rows, so it should be wide; each worker holds one.
const usualStripBytes = 8 << 20;
// Below this share of a row it is cheaper to read the columns' short runs than whole rows.
const wholeRowShare = 1 / 16;

/**
 * Opens a reader of upright rows; usable inside a worker. Holds 1 MB, and `stripBytes` more where rows are
 * stored columns: the less, the more often the file is read.
 */
export function openRows(
  scratch: Scratch,
  orientation: Orientation,
  stripBytes: number = usualStripBytes,
): RowReader {
  const turn = turnOf(orientation);
  const { widthPx, heightPx } = uprightSize(orientation, scratch);
  const rows = turn.transposed
    ? columnRows(scratch, turn.flippedX, turn.flippedY, stripBytes)
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

function columnRows(scratch: Scratch, flippedX: boolean, flippedY: boolean, stripBytes: number) {
  const { widthPx, heightPx, bytesPerSample } = scratch;
  const wanted = Math.max(16, Math.floor(stripBytes / (heightPx * bytesPerSample)));
  const stripColumns = Math.min(widthPx, wanted);
  const strip = newSamples(scratch, stripColumns * heightPx);
  const load = stripLoader(scratch, stripColumns);
  let held = -1;
  return (y: number, into: SampleRow): void => {
    const storedX = flippedX ? widthPx - 1 - y : y;
    const first = storedX - (storedX % stripColumns);
    if (first !== held) {
      held = -1;
      load(first, Math.min(stripColumns, widthPx - first), strip);
      held = first;
    }
    const from = (storedX - first) * heightPx;
    into.set(strip.subarray(from, from + heightPx));
    if (flippedY) into.reverse();
  };
}

/** Reads stored columns and lays each down as a row, some stored rows at a time so that all stays in the cache. */
function stripLoader(scratch: Scratch, stripColumns: number) {
  const { widthPx, heightPx, bytesPerSample } = scratch;
  const whole = stripColumns >= widthPx * wholeRowShare;
  const spanPx = whole ? widthPx : stripColumns;
  const tileRows = Math.min(64, Math.max(1, Math.floor(blockBytes / (spanPx * bytesPerSample))));
  const tile = newSamples(scratch, spanPx * tileRows);
  return (firstX: number, columns: number, strip: SampleRow): void => {
    for (let top = 0; top < heightPx; top += tileRows) {
      const rows = Math.min(tileRows, heightPx - top);
      if (whole) fill(scratch, top * widthPx, tile, 0, rows * widthPx);
      else {
        for (let row = 0; row < rows; row++) {
          fill(scratch, (top + row) * widthPx + firstX, tile, row * spanPx, columns);
        }
      }
      layColumns(tile, whole ? firstX : 0, spanPx, columns, rows, strip, top, heightPx);
    }
  };
}

/** Lays columns of a tile of `rows` rows of `spanPx` samples down as rows of `heightPx`, from their sample `top` on. */
function layColumns(
  tile: SampleRow,
  firstX: number,
  spanPx: number,
  columns: number,
  rows: number,
  strip: SampleRow,
  top: number,
  heightPx: number,
): void {
  for (let column = 0; column < columns; column++) {
    const to = column * heightPx + top;
    const from = firstX + column;
    for (let row = 0; row < rows; row++) strip[to + row] = tile[from + row * spanPx]!;
  }
}

const newSamples = (scratch: Scratch, length: number): SampleRow =>
  scratch.bytesPerSample === 1 ? new Uint8Array(length) : new Uint16Array(length);

function fill(scratch: Scratch, sample: number, into: SampleRow, at: number, length: number): void {
  const { fd, bytesPerSample, offsetBytes } = scratch;
  readExactly(fd, into.subarray(at, at + length), offsetBytes + sample * bytesPerSample);
}
