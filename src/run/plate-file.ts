import { createHash } from 'node:crypto';
import { fstatSync, readSync } from 'node:fs';
import { EtchError } from '../core/errors.ts';
import type { EncodedBand, LocatedPlate, PlateHead } from '../io/formats/contract.ts';
import { type FormatKind, formats } from '../io/formats/index.ts';
import type { Pool } from './pool.ts';

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

function locate(kind: FormatKind, fd: number, name: string): LocatedPlate {
  const readAt = (offset: number, bytes: number): Uint8Array => {
    const into = new Uint8Array(bytes);
    return into.subarray(0, readSync(fd, into, 0, bytes, offset));
  };
  try {
    return formats[kind].locate(readAt, fstatSync(fd).size);
  } catch (error) {
    throw broken(name, (error as Error).message, error);
  }
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
  const located = locate(kind, fd, name);
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
  const wrong = await Promise.all(
    located.bands.map((_, band) => pool.run({ do: 'verify', plate, args: [kind, fd, located, band] })),
  ).catch((error: unknown) => {
    throw broken(name, (error as Error).message, error);
  });
  const total = wrong.reduce((sum, n) => sum + n, 0);
  if (total > 0) throw broken(name, `${total} rows differ from the plate`);
  return { x: located.dpiX, y: located.dpiY };
}

/** The pieces of one plate file, with what the report tells of it. */
export async function assembleFile(kind: FormatKind, head: PlateHead, bands: readonly EncodedBand[]) {
  const pieces = await formats[kind].assemble(head, bands);
  return {
    pieces,
    bytes: bytesOf(pieces),
    sha256: sha256Of(pieces),
    photometric: formats[kind].photometric(head),
  };
}
