import { openWasm, type WasmMemory } from '../../wasm/open.ts';
import { NOTED_WORD_PX, noteRow, noteText } from './note.ts';

/** The last few tone rows that ran past, each as it came and again as pairs. */
export interface ToneRows {
  /** `rowPx` tones a row; right of the width goes on the outermost pixel. */
  readonly tones: Uint16Array;
  /** The same memory, two tones at a time; which of them comes first does not matter. */
  readonly pairs: Int32Array;
  /** The memory of WebAssembly's that they lie in, from address 0 on, and where its spare part begins; null where there is none. */
  readonly shared: { readonly memory: WasmMemory; readonly spareAt: number } | null;
  /** A whole multiple of `NOTED_WORD_PX`. */
  readonly rowPx: number;
  /** Index of the first tone of row y; any whole number, negative too. */
  at(y: number): number;
  take(tone: Uint16Array, y: number): void;
  /**
   * Puts down in `dark` and `light`, a bit for each `NOTED_PX` pixels, the leftmost in bit 31, where row y has tones of `darkFrom`
   * (even) and more, and of `lightTo` (odd) and less.
   */
  note(y: number, darkFrom: number, lightTo: number): void;
  readonly dark: Int32Array;
  readonly light: Int32Array;
}

const kernels = { note: noteText };

/** How rows lie in a memory: one after the other, then the bits of the row that was noted last, dark and light. */
interface Layout {
  readonly rowPx: number;
  readonly rows: number;
  readonly darkAt: number;
  readonly lightAt: number;
  readonly bytes: number;
}

function layoutOf(leastPx: number, rows: number): Layout {
  const noted = Math.ceil(leastPx / NOTED_WORD_PX);
  const rowPx = noted * NOTED_WORD_PX;
  const darkAt = 2 * rowPx * rows;
  const lightAt = darkAt + 4 * noted;
  // a whole number of vectors
  return { rowPx, rows, darkAt, lightAt, bytes: (lightAt + 4 * noted + 15) & -16 };
}

/*
 * The objects are written out, not spread from one another, and what WebAssembly exports is taken out of its object: either has a
 * shape of its own each time one is made, at which the engine throws away the code that it has made for the loops.
 */
function rowsIn(
  buffer: ArrayBuffer,
  { rowPx, rows, darkAt, lightAt }: Layout,
  shared: ToneRows['shared'],
  note: ToneRows['note'],
): ToneRows {
  const noted = rowPx / NOTED_WORD_PX;
  const tones = new Uint16Array(buffer, 0, rowPx * rows);
  const at = (y: number): number => placeOf(y, rows) * rowPx;
  return {
    tones,
    pairs: new Int32Array(buffer, 0, (rowPx * rows) >> 1),
    shared,
    rowPx,
    at,
    take(tone, y) {
      const start = at(y);
      tones.set(tone, start);
      tones.fill(tone[tone.length - 1]!, start + tone.length, start + rowPx);
    },
    note,
    dark: new Int32Array(buffer, darkAt, noted),
    light: new Int32Array(buffer, lightAt, noted),
  };
}

/** Which of so many rows row y is kept as. */
const placeOf = (y: number, rows: number): number => ((y % rows) + rows) % rows;

/**
 * Keeps the last `rows` rows, each of `leastPx` tones or a few more; noted by vectors where the engine has them, in a memory with so
 * many bytes to spare.
 */
export function openToneRows(leastPx: number, rows: number, spareBytes = 0): ToneRows {
  return openVectorRows(leastPx, rows, spareBytes) ?? openPlainRows(leastPx, rows);
}

/** The rows in a memory of WebAssembly's. Null where the engine has no such vectors or no room for a memory of their kind. */
export function openVectorRows(leastPx: number, rows: number, spareBytes = 0): ToneRows | null {
  const layout = layoutOf(leastPx, rows);
  const { rowPx, darkAt, lightAt } = layout;
  const opened = openWasm(kernels, layout.bytes + spareBytes);
  if (opened === null) return null;
  const { buffer, memory, run } = opened;
  const { note } = run;
  return rowsIn(buffer, layout, { memory, spareAt: layout.bytes }, (y, darkFrom, lightTo) => {
    const start = 2 * placeOf(y, rows) * rowPx;
    note(start, start + 2 * rowPx, darkAt, lightAt, darkFrom, lightTo);
  });
}

/** The same in plain loops: for engines without vectors, and what those are held to. */
export function openPlainRows(leastPx: number, rows: number): ToneRows {
  const layout = layoutOf(leastPx, rows);
  const kept: ToneRows = rowsIn(new ArrayBuffer(layout.bytes), layout, null, (y, darkFrom, lightTo) => {
    const { pairs, rowPx, dark, light } = kept;
    const from = kept.at(y) >> 1;
    noteRow(pairs, from, from + (rowPx >> 1), dark, light, darkFrom, lightTo);
  });
  return kept;
}
