/**
 * Deflate (RFC 1951) for rows of red, green and blue: matches are looked for at whole pixels only, each as the last one of its colour. Prints
 * are noise of few colours; measured on those of 279 million pixels of a plate: a third of the time of zlib's quickest level for files a tenth
 * smaller.
 */

import { openWasm } from '../../../core/wasm/open.ts';
import { codeLengths, codesOf, MOST_CODE_BITS } from './huffman.ts';
import { kernels } from './kernels.ts';
import { plainKernels } from './plain.ts';
import * as room from './room.ts';

/** Symbols of literals, the end of a block and lengths; the first of the lengths (RFC 1951, 3.2.5). */
const SYMBOLS = 286;
const END = 256;
const FIRST_LENGTH = 257;

/** Symbol and number of further bits of each length, and the length that the symbol begins with. */
const LENGTH_SYMBOLS = Array.from({ length: room.LENGTHS }, (_, length) => {
  if (length < 3) return { symbol: 0, extra: 0, first: length };
  if (length === room.MOST_MATCH) return { symbol: 285, extra: 0, first: length };
  const less = length - 3;
  if (less < 8) return { symbol: FIRST_LENGTH + less, extra: 0, first: length };
  const extra = 29 - Math.clz32(less);
  return { symbol: FIRST_LENGTH + 4 * extra + (less >> extra), extra, first: 3 + ((less >> extra) << extra) };
});

/** The order in which the lengths of the codes for lengths of codes are sent (RFC 1951, 3.2.7). */
const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];
const MOST_ORDER_BITS = 7;

/** Room for some rows, and what packs them. */
export interface PixelPacker {
  /** Rows as a PNG has them, one after the other: a byte 0, then three bytes for each pixel. */
  readonly rows: Uint8Array;
  readonly rowBytes: number;
  /** Packs the first `count` rows by themselves, up to a whole byte without ending the stream, in pieces. */
  pack(count: number): readonly Uint8Array[];
}

/** `rowBytes`: a byte and three for each pixel, of which there is one at least. `plain` does without WebAssembly: the same bytes. */
export function openPixelPacker(rowBytes: number, mostRows: number, plain = false): PixelPacker {
  const { tokensAt, packedAt, bytes } = room.layRoom(rowBytes, mostRows);
  const opened = plain ? null : openWasm(kernels, bytes);
  const buffer = opened?.buffer ?? new ArrayBuffer((bytes + 3) & ~3);
  const plainly = plainKernels(buffer);
  const { find, send } = opened?.run ?? plainly;
  const all = room.LITERALS + room.LENGTHS + room.DISTANCES;
  const places = new Int32Array(buffer, 0, room.PLACES);
  const counts = new Int32Array(buffer, room.COUNTS_AT, all);
  const codes = new Int32Array(buffer, room.CODES_AT, all);
  const state = new Int32Array(buffer, room.STATE_AT, 4);

  const words = new Int32Array(buffer, tokensAt, (packedAt - tokensAt) >> 2);

  const packBlock = (from: number, to: number): void => {
    counts.fill(0);
    state[0] = tokensAt;
    for (let row = from; row < to; row++) {
      words[(state[0]! - tokensAt) >> 2] = room.ROW_TOKEN;
      state[0]! += 4;
      counts[0]! += 1;
      const at = room.ROWS_AT + row * rowBytes;
      find(at + 1, at + rowBytes);
    }
    const end = tellCodes(counts, codes, plainly.put);
    send(tokensAt, state[0]!);
    plainly.put(end.code, end.length);
  };

  return {
    rows: new Uint8Array(buffer, room.ROWS_AT, mostRows * rowBytes),
    rowBytes,
    pack(count) {
      const pieces: Uint8Array[] = [];
      const take = (): void => {
        pieces.push(new Uint8Array(buffer.slice(packedAt, state[3]!)));
        state[3] = packedAt;
      };
      places.fill(0);
      state.set([0, 0, 0, packedAt]);
      for (let from = 0; from < count; from += room.BLOCK_ROWS) {
        packBlock(from, Math.min(from + room.BLOCK_ROWS, count));
        take();
      }
      // an empty block of bytes as they are, which begins and ends on a whole one
      plainly.put(0, 3);
      plainly.put(0, -state[2]! & 7);
      plainly.put(0, 16);
      plainly.put(0xffff, 16);
      take();
      return pieces;
    },
  };
}

/** Sends the head of a block with its codes, and lays them where they are looked up by literal, length and symbol of distance; gives that of the block's end. */
function tellCodes(
  counts: Int32Array,
  codes: Int32Array,
  put: (value: number, bits: number) => void,
): { readonly code: number; readonly length: number } {
  const symbols = new Int32Array(SYMBOLS);
  symbols.set(counts.subarray(0, room.LITERALS));
  symbols[END] = 1;
  for (let length = 3; length < room.LENGTHS; length++)
    symbols[LENGTH_SYMBOLS[length]!.symbol]! += counts[room.LITERALS + length]!;
  // two symbols at least make a whole code
  const distances = counts.slice(room.LITERALS + room.LENGTHS).fill(1, 0, 2);
  const symbolLengths = codeLengths(symbols, MOST_CODE_BITS);
  const distanceLengths = codeLengths(distances, MOST_CODE_BITS);

  put(0b100, 3); // not the last one; codes of its own
  put(SYMBOLS - FIRST_LENGTH, 5);
  put(room.DISTANCES - 1, 5);
  put(ORDER.length - 4, 4);
  // one by one: repeats would save 50 bytes of some 70,000
  const lengths = new Uint8Array(SYMBOLS + room.DISTANCES);
  lengths.set(symbolLengths);
  lengths.set(distanceLengths, SYMBOLS);
  const orderCounts = new Int32Array(ORDER.length);
  // a code for lengths needs two symbols, too
  orderCounts.fill(1, 0, 2);
  for (let i = 0; i < lengths.length; i++) orderCounts[lengths[i]!]! += 1;
  const orderLengths = codeLengths(orderCounts, MOST_ORDER_BITS);
  const orderCodes = codesOf(orderLengths);
  for (const length of ORDER) put(orderLengths[length]!, 3);
  for (let i = 0; i < lengths.length; i++) put(orderCodes[lengths[i]!]!, orderLengths[lengths[i]!]!);

  const symbolCodes = codesOf(symbolLengths);
  const withBits = (code: number, length: number): number => code | (length << 24);
  for (let byte = 0; byte < room.LITERALS; byte++)
    codes[byte] = withBits(symbolCodes[byte]!, symbolLengths[byte]!);
  for (let length = 0; length < room.LENGTHS; length++) {
    const { symbol, extra, first } = LENGTH_SYMBOLS[length]!;
    codes[room.LITERALS + length] = withBits(
      symbolCodes[symbol]! | ((length - first) << symbolLengths[symbol]!),
      symbolLengths[symbol]! + extra,
    );
  }
  const distanceCodes = codesOf(distanceLengths);
  for (let i = 0; i < room.DISTANCES; i++)
    codes[room.LITERALS + room.LENGTHS + i] = withBits(distanceCodes[i]!, distanceLengths[i]!);
  return { code: symbolCodes[END]!, length: symbolLengths[END]! };
}
