import { EtchError } from '../../core/errors.ts';
import { type Orientation, uprightSize } from '../../core/geometry-orientation.ts';
import { type ByteSource, memoryBytes } from './bytes.ts';
import { type Header, loadDecoder } from './decoder.ts';
import type { PictureCaution, PictureFacts, PictureFormat } from './facts.ts';
import { profileName } from './icc.ts';
import { corruptError, inputError, type PictureInput, sha256Of, withInput } from './input.ts';
import { readJfifPpi } from './jpeg.ts';
import { withPlainPath } from './plain-path.ts';
import { readPng } from './png.ts';
import { exifPpi, type Ppi, plausible, tiffPpi } from './resolution.ts';
import { sniffFormat } from './sniff.ts';
import { readTiffTags } from './tiff.ts';

/** How a picture is to be read. */
export interface ReadOptions {
  /** Page or frame, first = 1. */
  readonly page?: number;
  /** Pictures with more pixels are refused before they are decoded. */
  readonly maxPixels: number;
  /** Folder for scratch files; nothing is left in it. */
  readonly scratchDir: string;
}

/** A picture whose header has been read and whose pixels have not. */
export interface Inspection {
  readonly input: PictureInput;
  readonly options: ReadOptions;
  readonly facts: PictureFacts;
}

/** What the file's own bytes say, before the picture library has seen it. */
interface OwnHeader {
  readonly format: PictureFormat;
  readonly ppi: Ppi | null;
  readonly frames: number;
}

/**
 * Reads what a picture file says of itself without decoding its pixels.
 * Throws an EtchError of kind `input` where it cannot be read, names no picture or has too many pixels.
 */
export async function inspectPicture(
  input: PictureInput,
  options: ReadOptions,
  signal?: AbortSignal,
): Promise<Inspection> {
  const page = (options.page ?? 1) - 1;
  const own = await withInput(input, (bytes) => ownHeader(input, bytes, page));
  signal?.throwIfAborted();
  const header = await readHeader(input, options, 0);
  const readable = header.pages ?? 1;
  if (page >= readable) throw noSuchPage(input, page + 1, readable);
  const paged = page === 0 ? header : await readHeader(input, options, page);
  checkSize(input, paged, options.maxPixels);
  checkSamples(input, paged);
  const sha256 = await sha256Of(input.path, signal);
  return {
    input,
    options,
    facts: { name: input.name, sha256, ...factsOf(own, paged, Math.max(own.frames, readable), page) },
  };
}

function ownHeader(input: PictureInput, bytes: ByteSource, page: number): OwnHeader {
  const format = sniffFormat(bytes);
  if (format === 'heic') {
    throw inputError(
      input,
      'picture-not-supported',
      'HEIC pictures cannot be read',
      'Export it as JPEG, PNG or TIFF.',
    );
  }
  if (format === null) {
    throw inputError(
      input,
      'not-a-picture',
      'this is not a picture of a kind that can be read',
      'Give a JPEG, PNG, TIFF, WebP, AVIF, GIF or SVG file.',
    );
  }
  const png = format === 'png' ? readPng(bytes) : null;
  const ppi =
    png?.ppi ??
    (format === 'jpeg' ? readJfifPpi(bytes) : format === 'tiff' ? tiffPpi(readTiffTags(bytes, page)) : null);
  return { format, ppi: plausible(ppi), frames: png?.frames ?? 1 };
}

async function readHeader(input: PictureInput, { scratchDir }: ReadOptions, page: number): Promise<Header> {
  const decoder = await loadDecoder();
  return withPlainPath(input.path, scratchDir, async (path) => {
    try {
      return await decoder.open(path, { limitInputPixels: false, page }).metadata();
    } catch (error) {
      throw corruptError(input, error);
    }
  });
}

const grouped = (value: number): string => value.toLocaleString('en-GB');

function checkSize(input: PictureInput, { width, height }: Header, maxPixels: number): void {
  if (width * height <= maxPixels) return;
  throw inputError(
    input,
    'picture-too-large',
    `${grouped(width)} × ${grouped(height)} px are ${grouped(width * height)} pixels, more than the limit of ${grouped(maxPixels)}`,
    `Make the picture smaller, or raise the limit with --max-pixels ${width * height}.`,
  );
}

/** Only whole numbers of 8 or 16 bit have a stated black and white; measured data do not. */
function checkSamples(input: PictureInput, { depth }: Header): void {
  if (depth === 'uchar' || depth === 'ushort') return;
  throw inputError(
    input,
    'picture-not-supported',
    `its samples are of type "${depth}", which states no black and white`,
    'Export it with 8 or 16 bits a channel.',
  );
}

const noSuchPage = (input: PictureInput, page: number, pages: number) =>
  new EtchError(
    'usage',
    'no-such-page',
    `Reading "${input.name}": page ${page} was asked for; the file has ${pages === 1 ? 'one page' : `${pages} pages`}.`,
    `Give --page a number from 1 to ${pages}.`,
  );

function factsOf(
  own: OwnHeader,
  header: Header,
  frames: number,
  page: number,
): Omit<PictureFacts, 'name' | 'sha256'> {
  const stored = { widthPx: header.width, heightPx: header.height };
  const orientation = orientationOf(header);
  const upright = uprightSize(orientation, stored);
  const turned = upright.widthPx !== stored.widthPx || orientation >= 5;
  const ppi = own.ppi ?? exifPpiOf(header);
  return {
    format: own.format,
    ...stored,
    uprightWidthPx: upright.widthPx,
    uprightHeightPx: upright.heightPx,
    ppiX: ppi && (turned ? ppi.y : ppi.x),
    ppiY: ppi && (turned ? ppi.x : ppi.y),
    orientation,
    alpha: header.hasAlpha,
    profile: header.icc ? profileName(header.icc) : null,
    depthBits: header.depth === 'ushort' && header.space !== 'cmyk' ? 16 : 8,
    frames,
    cautions: frames > 1 ? [manyFrames(frames, page + 1)] : [],
  };
}

function orientationOf({ orientation = 1 }: Header): Orientation {
  return orientation >= 1 && orientation <= 8 ? (orientation as Orientation) : 1;
}

function exifPpiOf({ exif, format }: Header): Ppi | null {
  if (!exif || format === 'tiff') return null;
  // The block starts with a name of six bytes in JPEG and, as the library hands it over, everywhere else.
  const named = exif.subarray(0, 4).toString('latin1') === 'Exif';
  return plausible(exifPpi(readTiffTags(memoryBytes(named ? exif.subarray(6) : exif), 0)));
}

const manyFrames = (frames: number, page: number): PictureCaution => ({
  code: 'picture-frames',
  severity: 'note',
  text: `The file holds ${frames} pages or frames; number ${page} is used.`,
  cure: 'Choose another with --page.',
  value: frames,
});
