import { createHash } from 'node:crypto';
import { fstatSync, readSync } from 'node:fs';
import { join } from 'node:path';
import { EtchError } from '../../core/errors.ts';
import type { FileSet, Slot } from '../../io/atomic.ts';
import type { EncodedBand, FormatDef, LocatedPlate, PlateHead } from '../../io/formats/contract.ts';
import { type FormatKind, formats } from '../../io/formats/index.ts';
import type { Report } from '../../report/schema.ts';
import { toneStoreOf } from '../formats.ts';
import type { Pool } from '../pool.ts';

const sha256Of = (pieces: readonly Uint8Array[]): string => {
  const hash = createHash('sha256');
  for (const piece of pieces) hash.update(piece);
  return hash.digest('hex');
};

const bytesOf = (pieces: readonly Uint8Array[]): number =>
  pieces.reduce((sum, { byteLength }) => sum + byteLength, 0);

const broken = (name: string, what: string, cause?: unknown): EtchError =>
  new EtchError(
    'output',
    'readback-differs',
    `Reading ${name} back after writing: ${what}`,
    'The disk or its connection may be failing. Nothing was kept: try again, or another folder with --out.',
    cause,
  );

/** One file of a plate, open under its temporary name. */
export interface OpenFile {
  readonly kind: FormatKind;
  readonly name: string;
  readonly slot: Slot;
}

export const plateName = (stem: string, kind: FormatKind): string =>
  `${stem}.plate.${formats[kind].extension}`;

/** Opens the files of one plate under temporary names, in the order of the formats. */
export async function openPlateFiles(
  set: FileSet,
  folder: string,
  stem: string,
  kinds: readonly FormatKind[],
): Promise<OpenFile[]> {
  const files: OpenFile[] = [];
  for (const kind of kinds) {
    const name = plateName(stem, kind);
    files.push({ kind, name, slot: await set.add(join(folder, name)) });
  }
  return files;
}

function locate({ locate }: Pick<FormatDef, 'locate'>, fd: number, name: string): LocatedPlate {
  const readAt = (offset: number, bytes: number): Uint8Array => {
    const into = new Uint8Array(bytes);
    return into.subarray(0, readSync(fd, into, 0, bytes, offset));
  };
  try {
    return locate(readAt, fstatSync(fd).size);
  } catch (error) {
    throw broken(name, (error as Error).message, error);
  }
}

/**
 * Reads back what a written file says of itself and compares size and resolution with the plate's. Throws
 * EtchError `readback-differs`.
 */
function locateAsMade(
  kind: FormatKind,
  store: Pick<FormatDef, 'locate'>,
  fd: number,
  name: string,
  head: PlateHead,
): LocatedPlate {
  const located = locate(store, fd, name);
  if (located.widthPx !== head.widthPx || located.heightPx !== head.heightPx)
    throw broken(
      name,
      `it is ${located.widthPx} × ${located.heightPx} px, not ${head.widthPx} × ${head.heightPx}`,
    );
  const x = formats[kind].storedDpi(head.dpi, head.widthPx);
  const y = formats[kind].storedDpi(head.dpi, head.heightPx);
  if (located.dpiX !== x || located.dpiY !== y)
    throw broken(name, `it states ${located.dpiX} × ${located.dpiY} dpi, not ${x} × ${y}`);
  const rows = located.bands.reduce((sum, band) => sum + band.rows, 0);
  if (rows !== head.heightPx) throw broken(name, `it holds ${rows} rows, not ${head.heightPx}`);
  return located;
}

/** Waits until all bands are compared; throws EtchError `readback-differs` where rows do. */
async function expectNoneWrong(name: string, rowsWrong: readonly Promise<number>[]): Promise<void> {
  const wrong = await Promise.all(rowsWrong).catch((error: unknown) => {
    throw broken(name, (error as Error).message, error);
  });
  const total = wrong.reduce((sum, n) => sum + n, 0);
  if (total > 0) throw broken(name, `${total} rows differ from the plate`);
}

/**
 * Reads a written plate back from the disk and compares size, resolution and every bit with the plate in memory.
 * Gives back the resolution that the file states; throws EtchError `readback-differs`.
 */
export async function verifyFile(
  kind: FormatKind,
  fd: number,
  name: string,
  plate: number,
  head: PlateHead,
  pool: Pool,
): Promise<{ x: number; y: number }> {
  const located = locateAsMade(kind, formats[kind], fd, name, head);
  await expectNoneWrong(
    name,
    located.bands.map((_, band) => pool.run({ do: 'verify', plate, args: [kind, fd, located, band] })),
  );
  return { x: located.dpiX, y: located.dpiY };
}

/** As `verifyFile`, for tone, which no memory holds: each band's rows are compared by their CRC-32. */
export async function verifyToneFile(
  kind: FormatKind,
  fd: number,
  name: string,
  plate: number,
  head: PlateHead,
  crcs: readonly number[],
  pool: Pool,
): Promise<{ x: number; y: number }> {
  const located = locateAsMade(kind, toneStoreOf(kind), fd, name, head);
  if (located.bands.length !== crcs.length)
    throw broken(name, `it holds ${located.bands.length} bands, not ${crcs.length}`);
  await expectNoneWrong(
    name,
    crcs.map((crc, band) => pool.run({ do: 'verifyTone', plate, args: [kind, fd, located, band, crc] })),
  );
  return { x: located.dpiX, y: located.dpiY };
}

/** SHA-256 and length of a written file, read from the disk. */
export function hashOfFile(fd: number): { readonly bytes: number; readonly sha256: string } {
  const hash = createHash('sha256');
  const piece = new Uint8Array(1 << 20);
  let bytes = 0;
  for (;;) {
    const got = readSync(fd, piece, 0, piece.length, bytes);
    if (got === 0) return { bytes, sha256: hash.digest('hex') };
    hash.update(piece.subarray(0, got));
    bytes += got;
  }
}

/** What the report says of a file beside the plates, which has no pixels that a machine reads. */
export const toldBeside = ({
  role,
  name,
  format,
  slot,
}: Pick<Report['files'][number], 'role' | 'name' | 'format'> & {
  readonly slot: Slot;
}): Report['files'][number] => ({
  role,
  name,
  format,
  photometric: null,
  packed: null,
  fire: null,
  ...hashOfFile(slot.fd),
  statedDpi: null,
});

/** Where the encoded bands of one file go, in order, while the plate is being finished. */
export interface BandSink {
  put(band: EncodedBand): Promise<void>;
  /** Ends the file; its length and SHA-256. */
  end(): Promise<{ readonly bytes: number; readonly sha256: string }>;
}

/** Opens the sink of one file: written as it grows where its format can, else kept and put together at the end. */
export async function openSink({ kind, slot }: OpenFile, head: PlateHead): Promise<BandSink> {
  const format: FormatDef = formats[kind];
  const growing = format.grow?.(head);
  if (growing) {
    await slot.write([growing.start]);
    return {
      put: (band) =>
        growing.placeOf ? slot.writeOver(band.bytes, growing.placeOf(band)) : slot.write(growing.put(band)),
      async end() {
        await slot.writeOver(growing.front());
        return hashOfFile(slot.fd);
      },
    };
  }
  const bands: EncodedBand[] = [];
  return {
    put: async (band) => void bands.push(band),
    async end() {
      const pieces = await format.assemble(head, bands);
      await slot.write(pieces);
      return { bytes: bytesOf(pieces), sha256: sha256Of(pieces) };
    },
  };
}
