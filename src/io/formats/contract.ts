/** What every writer needs to know of a finished plate, besides its bits. */
export interface PlateHead {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
  /** Which pixel value tells the machine to fire: dark (black) or light (white). */
  readonly fire: 'dark' | 'light';
  /** How the bits compress best: as runs of a byte, or as patterns that come again. */
  readonly packing: 'runs' | 'repeats';
  /** How TIFF strips are packed; other formats have one way. */
  readonly tiff: 'deflate' | 'group4';
  /** Rows in each band but the last; a constant, so that the bytes do not depend on the workers. */
  readonly bandRows: number;
}

/** One band as a format stores it. */
export interface EncodedBand {
  /** Owns its memory, so that it can be moved between threads instead of copied. */
  readonly bytes: Uint8Array;
  /** Adler-32 and length of the unpacked bytes, where the format's checksum runs over all bands. */
  readonly adler?: number;
  readonly rawBytes?: number;
}

/** Where a band lies in a written file. */
export interface LocatedBand {
  readonly offset: number;
  readonly bytes: number;
  readonly firstRow: number;
  readonly rows: number;
  /** Adler-32 of the unpacked bytes, where the file states it a band. */
  readonly adler?: number;
}

/** What a written file says of itself, parsed from the disk without our own memory of it. */
export interface LocatedPlate {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Resolution as stored; not rounded. */
  readonly dpiX: number;
  readonly dpiY: number;
  /** True where a stored 1 is white; of tone, the largest value. */
  readonly oneIsWhite: boolean;
  /** How the bands are packed, where a format has several ways. */
  readonly compression?: string;
  readonly bands: readonly LocatedBand[];
}

/** Reads `bytes` bytes at `offset`; fewer at the end of the file. */
export type ReadAt = (offset: number, bytes: number) => Uint8Array;

/** How rows of one kind are stored: encoded by workers, and read back from the disk to be compared. */
interface RowStore {
  /** Which stored value means white, as the report tells it. */
  photometric(head: PlateHead): string;
  /** How the strips are packed, where the format has several ways; left out where it has one. */
  packed?(head: PlateHead): PlateHead['tiff'];
  /** `rows` holds whole etch rows of the head's width: packed bits (1 = etch, padding 0), or a byte a pixel. */
  encodeBand(rows: Uint8Array, head: PlateHead, firstRow: number): EncodedBand;
  /** Throws an Error that says what is wrong with the structure. */
  locate(readAt: ReadAt, fileBytes: number): LocatedPlate;
  /** Rows of a located band as stored (no polarity applied), padding 0; throws on a bad checksum. */
  decodeBand(bytes: Uint8Array, plate: LocatedPlate, band: LocatedBand): Uint8Array;
}

/** A file put together while its bands are made, so that none of them need be kept. */
export interface GrowingFile {
  /** The first bytes of the file. */
  readonly start: Uint8Array;
  /** The bytes that follow. Every band is put once, in order. */
  put(band: EncodedBand): readonly Uint8Array[];
  /** Byte of the file at which a band lies, asked in order, where they do not follow each other; then it is all that is put. */
  placeOf?(band: EncodedBand): number;
  /** What the first bytes must be in the end, as many as `start` had. */
  front(): Uint8Array;
}

/** Tone, 8 bit a pixel: 0 = nothing etched … 255 = etched in full. */
export interface ToneStore extends RowStore {
  /** False where strips packed so hold marks only. */
  packsAs(tiff: PlateHead['tiff']): boolean;
  grow(head: PlateHead): GrowingFile;
}

/**
 * One file format for finished plates. Bands are encoded by workers, put together once, and read back
 * from the disk: `locate` parses the file's structure, `decodeBand` (in workers) gives rows to compare.
 */
export interface FormatDef extends RowStore {
  readonly kind: string;
  readonly summary: string;
  /** File extension without the dot. */
  readonly extension: string;
  /**
   * The resolution a file of this format states, along a side of `sizePx` pixels, when `dpi` was asked
   * for: exactly what `locate` must give back. PNG and BMP store whole pixels a metre, PDF the size of
   * the page to a millionth of a point, and so they cannot state every dpi.
   */
  storedDpi(dpi: number, sizePx: number): number;
  /** The file's bytes in order, as pieces. */
  assemble(head: PlateHead, bands: readonly EncodedBand[]): Uint8Array[] | Promise<Uint8Array[]>;
  /** The same file put together as its bands are made; left out where that cannot be. */
  grow?(head: PlateHead): GrowingFile;
  /** How it stores tone; left out where it cannot, or where nobody needs it to. */
  readonly tone?: ToneStore;
}
