import { MM_PER_INCH } from '../../core/geometry.ts';
import { type Orientation, uprightSize } from '../../core/geometry-orientation.ts';
import { readBmp } from './bmp/bmp.ts';
import type { ByteSource } from './bytes.ts';
import { manyFrames, unequalResolution } from './cautions.ts';
import type { PictureFacts, PictureFormat } from './facts.ts';
import { sniffFormat } from './headers/sniff.ts';
import { inputError, noSuchPage, type PictureInput, sha256Of, withInput } from './input.ts';
import { readWithLibrary } from './library/library.ts';
import { readPnm } from './pnm/pnm.ts';
import type { OpenedPicture, PictureHeader, PictureReader, ReadOptions } from './reader.ts';
import { readSvg } from './svg/svg.ts';

/** Who reads what. */
const readers: Readonly<Record<PictureFormat, PictureReader>> = {
  jpeg: readWithLibrary,
  png: readWithLibrary,
  tiff: readWithLibrary,
  webp: readWithLibrary,
  avif: readWithLibrary,
  gif: readWithLibrary,
  svg: readSvg,
  bmp: readBmp,
  pnm: readPnm,
};

/** A picture whose header has been read and whose pixels have not. */
export interface Inspection {
  readonly input: PictureInput;
  readonly options: ReadOptions;
  readonly facts: PictureFacts;
  readonly opened: OpenedPicture;
}

/**
 * Reads what a picture file says of itself without decoding its pixels.
 * Throws an EtchError of kind `input` where it cannot be read, is no picture or has too many pixels.
 */
export async function inspectPicture(
  input: PictureInput,
  options: ReadOptions,
  signal?: AbortSignal,
): Promise<Inspection> {
  return withInput(input, async (bytes) => {
    const format = knownFormat(input, bytes);
    const opened = await readers[format](input, bytes, format, options);
    signal?.throwIfAborted();
    const { header } = opened;
    if (header.frame !== (options.page ?? 1)) throw noSuchPage(input, options.page ?? 1, header.frames);
    if (!header.drawing) checkSize(input, header, options.maxPixels);
    const sha256 = await sha256Of(bytes, signal);
    return { input, options, facts: factsOf(input.name, sha256, format, header), opened };
  });
}

function knownFormat(input: PictureInput, bytes: ByteSource): PictureFormat {
  const format = sniffFormat(bytes);
  if (format === 'heic') {
    throw inputError(
      input,
      'picture-not-supported',
      'HEIC pictures cannot be read',
      'Export it as JPEG, PNG or TIFF.',
    );
  }
  if (format !== null) return format;
  throw inputError(
    input,
    'not-a-picture',
    'this is not a picture of a kind that can be read',
    'Give a JPEG, PNG, TIFF, WebP, AVIF, GIF, SVG, BMP or PNM file.',
  );
}

const grouped = (value: number): string => value.toLocaleString('en-GB');

function checkSize(input: PictureInput, { widthPx, heightPx }: PictureHeader, maxPixels: number): void {
  const pixels = widthPx * heightPx;
  if (pixels <= maxPixels) return;
  throw inputError(
    input,
    'picture-too-large',
    `${grouped(widthPx)} × ${grouped(heightPx)} px are ${grouped(pixels)} pixels, more than the limit of ${grouped(maxPixels)}`,
    `Make the picture smaller, or raise the limit with --max-pixels ${pixels}.`,
  );
}

/** A header, seen upright. */
function factsOf(name: string, sha256: string, format: PictureFormat, header: PictureHeader): PictureFacts {
  const { ppi, frames, frame, cautions, ...rest } = header;
  const upright = uprightSize(header.orientation, header);
  const seen = ppi && turned(header.orientation) ? { x: ppi.y, y: ppi.x } : ppi;
  return {
    name,
    sha256,
    format,
    ...rest,
    uprightWidthPx: upright.widthPx,
    uprightHeightPx: upright.heightPx,
    ppiX: seen?.x ?? null,
    ppiY: seen?.y ?? null,
    sizeMm: seen && {
      widthMm: (upright.widthPx / seen.x) * MM_PER_INCH,
      heightMm: (upright.heightPx / seen.y) * MM_PER_INCH,
    },
    frames,
    frame,
    cautions: [
      ...(frames > 1 ? [manyFrames(frames, frame)] : []),
      ...(seen && !header.drawing && Math.abs(seen.x / seen.y - 1) > 0.001 ? [unequalResolution(seen)] : []),
      ...cautions,
    ],
  };
}

const turned = (orientation: Orientation): boolean => orientation >= 5;
