import { type ByteSource, latin1 } from '../bytes.ts';

/** The numbers of one tag; rationals as fractions, text not read. */
export type TiffTags = ReadonlyMap<number, readonly number[]>;

// TIFF 6.0, section 2: bytes a value of each field type takes; 16-18 are BigTIFF's.
const bytesOfType: Readonly<Record<number, number>> = {
  1: 1,
  3: 2,
  4: 4,
  5: 8,
  6: 1,
  8: 2,
  9: 4,
  10: 8,
  16: 8,
  17: 8,
  18: 8,
};
// Longer lists (strip offsets, tables) are never asked for here.
const mostValues = 16;
const mostTags = 4096;

/**
 * The tags of one page (first = 0) of a TIFF or BigTIFF file, or of an EXIF block, which is built the same.
 * Empty where the file is not one or ends early: the decoder will say so better.
 */
export function readTiffTags(file: ByteSource, page: number): TiffTags {
  const head = file.read(0, 16);
  const order = latin1(head, 0, 2);
  if (head.byteLength < 8 || (order !== 'II' && order !== 'MM')) return new Map();
  const little = order === 'II';
  const big = head.getUint16(2, little) === 43;
  if (big && head.byteLength < 16) return new Map();
  const at = (view: DataView, offset: number) =>
    big ? Number(view.getBigUint64(offset, little)) : view.getUint32(offset, little);
  const [countBytes, entryBytes, offsetBytes] = big ? [8, 20, 8] : [2, 12, 4];

  let directory = at(head, big ? 8 : 4);
  for (let passed = 0; ; passed++) {
    const counted = file.read(directory, countBytes);
    if (directory === 0 || counted.byteLength < countBytes) return new Map();
    const count = big ? at(counted, 0) : counted.getUint16(0, little);
    if (count > mostTags) return new Map();
    const entries = file.read(directory + countBytes, count * entryBytes + offsetBytes);
    if (passed === page) return tagsOf(file, entries, { count, entryBytes, offsetBytes, little, at });
    if (entries.byteLength < count * entryBytes + offsetBytes) return new Map();
    directory = at(entries, count * entryBytes);
  }
}

interface Layout {
  readonly count: number;
  readonly entryBytes: number;
  readonly offsetBytes: number;
  readonly little: boolean;
  at(view: DataView, offset: number): number;
}

function tagsOf(file: ByteSource, entries: DataView<ArrayBuffer>, layout: Layout): TiffTags {
  const tags = new Map<number, readonly number[]>();
  const { count, entryBytes, offsetBytes, little } = layout;
  for (let entry = 0; entry < count; entry++) {
    const start = entry * entryBytes;
    if (start + entryBytes > entries.byteLength) break;
    const type = entries.getUint16(start + 2, little);
    const values = layout.at(entries, start + 4);
    const bytes = (bytesOfType[type] ?? 0) * values;
    if (bytes === 0 || values > mostValues) continue;
    const inside = start + 4 + offsetBytes;
    const data =
      bytes <= offsetBytes
        ? new DataView(entries.buffer, entries.byteOffset + inside, bytes)
        : file.read(layout.at(entries, inside), bytes);
    if (data.byteLength === bytes)
      tags.set(entries.getUint16(start, little), numbers(data, type, values, little));
  }
  return tags;
}

function numbers(data: DataView, type: number, count: number, little: boolean): number[] {
  const read: Readonly<Record<number, (at: number) => number>> = {
    1: (at) => data.getUint8(at),
    3: (at) => data.getUint16(at, little),
    4: (at) => data.getUint32(at, little),
    5: (at) => data.getUint32(at, little) / data.getUint32(at + 4, little),
    6: (at) => data.getInt8(at),
    8: (at) => data.getInt16(at, little),
    9: (at) => data.getInt32(at, little),
    10: (at) => data.getInt32(at, little) / data.getInt32(at + 4, little),
  };
  const one = read[type] ?? ((at: number) => Number(data.getBigUint64(at, little)));
  const size = bytesOfType[type] ?? 8;
  return Array.from({ length: count }, (_, index) => one(index * size));
}
