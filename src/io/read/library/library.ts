import { join } from 'node:path';
import type { Orientation } from '../../../core/geometry-orientation.ts';
import { openSamples } from '../../scratch.ts';
import { type ByteSource, memoryBytes } from '../bytes.ts';
import { cmykWithoutProfile, extraChannel } from '../cautions.ts';
import { cmykEnds } from '../colour/cmyk.ts';
import { profileName } from '../colour/icc.ts';
import { type ColourPlan, planColour } from '../colour/plan.ts';
import type { PictureFormat } from '../facts.ts';
import { readJfifPpi } from '../headers/jpeg.ts';
import { readPng } from '../headers/png.ts';
import { exifPpi, type Ppi, plausible, tiffPpi } from '../headers/resolution.ts';
import { readTiffTags, type TiffTags } from '../headers/tiff.ts';
import { corruptError, inputError, noSuchPage, type PictureInput } from '../input.ts';
import type { DecodeWork, OpenedPicture, PictureReader, ReadOptions } from '../reader.ts';
import { scratchFault } from '../room.ts';
import { type LibraryHeader, loadDecoder } from './decoder.ts';
import { withPlainPath } from './plain-path.ts';

// sRGB and paper white are the library's part of the colour rule; both come before any averaging.
const paper = '#ffffff';

/** What a file's own bytes say that the picture library does not tell. */
interface OwnWords {
  readonly ppi: Ppi | null;
  readonly frames: number;
  readonly gamma: number | null;
  /** False for a fourth channel that no tag declares as transparency. */
  readonly alphaDeclared: boolean;
}

/** Reads JPEG, PNG, TIFF, WebP, AVIF and GIF with the picture library. */
export const readWithLibrary: PictureReader = async (input, bytes, format, options) => {
  const page = (options.page ?? 1) - 1;
  if (format === 'tiff') checkTiff(input, readTiffTags(bytes, page));
  const first = await libraryHeader(input, options, 0);
  const pages = first.pages ?? 1;
  if (!Number.isInteger(page) || page < 0 || page >= pages) {
    throw noSuchPage(input, page + 1, pages, ownWords(bytes, format, 0).frames);
  }
  const header = page === 0 ? first : await libraryHeader(input, options, page);
  checkChannels(input, header);
  checkHeld(input, header, format, options.maxPixels);
  return opened(input, options, header, ownWords(bytes, format, page));
};

async function opened(
  input: PictureInput,
  options: ReadOptions,
  header: LibraryHeader,
  own: OwnWords,
): Promise<OpenedPicture> {
  const alpha = header.hasAlpha && own.alphaDeclared;
  const colour = planColour(header, own.gamma, alpha, options.colour);
  const cmyk = header.space === 'cmyk';
  const usedProfile = colour.ignoreProfile ? null : (header.icc ?? null);
  const ends = cmyk
    ? await cmykEnds(await loadDecoder(), usedProfile)
    : { blackCode: 0, whiteCode: 2 ** colour.depthBits - 1 };
  return {
    header: {
      widthPx: header.width,
      heightPx: header.height,
      ppi: plausible(own.ppi) ?? exifResolution(header),
      orientation: orientationOf(header),
      alpha,
      profile: header.icc ? profileName(header.icc) : null,
      depthBits: colour.depthBits,
      frames: Math.max(own.frames, header.pages ?? 1),
      frame: options.page ?? 1,
      ...ends,
      drawing: false,
      cautions: [
        ...colour.cautions,
        ...(cmyk && !header.icc ? [cmykWithoutProfile] : []),
        ...(header.hasAlpha && !alpha ? [extraChannel] : []),
      ],
    },
    bytesPerPixel: colour.bytesPerPixel,
    decode: async ({ folder }) => {
      const file = join(folder, 'picture.v');
      await decodeTo(file, input, options, header, colour, alpha);
      return { samples: openSamples(file), curve: colour.curve };
    },
    ...(alpha && {
      decodeAlpha: async ({ folder }: DecodeWork) => {
        const file = join(folder, 'alpha.v');
        await alphaTo(file, input, options);
        return openSamples(file);
      },
    }),
  };
}

async function alphaTo(file: string, input: PictureInput, options: ReadOptions): Promise<void> {
  const decoder = await loadDecoder();
  await withPlainPath(input.path, options.scratchDir, async (path) => {
    const page = (options.page ?? 1) - 1;
    const image = decoder.open(path, { limitInputPixels: options.maxPixels, page });
    try {
      await image.extractChannel('alpha').toFile(file);
    } catch (error) {
      throw scratchFault(options.scratchDir, error) ?? corruptError(input, error);
    }
  });
}

async function decodeTo(
  file: string,
  input: PictureInput,
  options: ReadOptions,
  { hasAlpha }: LibraryHeader,
  colour: ColourPlan,
  alpha: boolean,
): Promise<void> {
  const decoder = await loadDecoder();
  await withPlainPath(input.path, options.scratchDir, async (path) => {
    const image = decoder.open(path, {
      limitInputPixels: options.maxPixels,
      page: (options.page ?? 1) - 1,
      ignoreIcc: colour.ignoreProfile,
    });
    if (hasAlpha && !alpha) image.removeAlpha();
    else if (alpha && !colour.keepsAlpha) image.flatten({ background: paper });
    image.toColourspace(colour.space);
    if (colour.toSrgb) image.withIccProfile('srgb', { attach: false });
    try {
      await image.toFile(file);
    } catch (error) {
      throw scratchFault(options.scratchDir, error) ?? corruptError(input, error);
    }
  });
}

async function libraryHeader(
  input: PictureInput,
  { scratchDir }: ReadOptions,
  page: number,
): Promise<LibraryHeader> {
  const decoder = await loadDecoder();
  return withPlainPath(input.path, scratchDir, async (path) => {
    try {
      return await decoder.open(path, { limitInputPixels: false, page }).metadata();
    } catch (error) {
      throw corruptError(input, error);
    }
  });
}

function ownWords(bytes: ByteSource, format: PictureFormat, page: number): OwnWords {
  const words: OwnWords = { ppi: null, frames: 1, gamma: null, alphaDeclared: true };
  if (format === 'png') return { ...words, ...readPng(bytes) };
  if (format === 'jpeg') return { ...words, ppi: readJfifPpi(bytes) };
  if (format !== 'tiff') return words;
  const tags = readTiffTags(bytes, page);
  // TIFF 6.0, section 18, tag 338 ExtraSamples: 1 and 2 are transparency, 0 is unspecified.
  const extra = tags.get(338)?.[0] ?? 0;
  return { ...words, ppi: tiffPpi(tags), alphaDeclared: extra !== 0 };
}

// TIFF 6.0, section 23 (Lab), and the supplements' ICCLab 9 and ITULab 10; the library refuses them as damaged.
const unreadPhotometrics: Readonly<Record<number, string>> = {
  8: 'Lab colour',
  9: 'Lab colour',
  10: 'Lab colour',
};
const wholeDepths = [1, 2, 4, 8, 16, 32, 64];

/** What the library would call damaged, but is only of another kind. */
function checkTiff(input: PictureInput, tags: TiffTags): void {
  const bits = tags.get(258)?.[0] ?? 1;
  const kind =
    unreadPhotometrics[tags.get(262)?.[0] ?? 1] ??
    (wholeDepths.includes(bits) ? null : `${bits} bits a channel`);
  if (kind === null) return;
  throw inputError(
    input,
    'picture-not-supported',
    `a TIFF of ${kind} cannot be read`,
    'Export it as grey or RGB with 8 or 16 bits a channel.',
  );
}

const colourChannels: Readonly<Record<string, number>> = { 'b-w': 1, grey16: 1, cmyk: 4 };

/** Only whole numbers of 8 or 16 bit have a stated black and white, and only one more channel can be transparency. */
function checkChannels(input: PictureInput, { depth, channels, space }: LibraryHeader): void {
  if (depth !== 'uchar' && depth !== 'ushort') {
    throw inputError(
      input,
      'picture-not-supported',
      `its samples are of type "${depth}", which states no black and white`,
      'Export it with 8 or 16 bits a channel.',
    );
  }
  if (channels > (colourChannels[space] ?? 3) + 1) {
    throw inputError(
      input,
      'picture-not-supported',
      `it has ${channels} channels a pixel`,
      'Export it without spot colours, masks and spare channels.',
    );
  }
}

/** Bytes a pixel that the decoder holds of the whole picture, where it cannot go row by row. */
function heldBytes(
  { isProgressive, chromaSubsampling, channels, depth, bitsPerSample = 8 }: LibraryHeader,
  format: PictureFormat,
): number {
  const bytes = depth === 'ushort' ? 2 : 1;
  // ITU-T T.81, G: coefficients of 16 bits, all of them until the last scan
  if (format === 'jpeg') return isProgressive ? 2 * (chromaSubsampling === '4:2:0' ? 1.5 : channels) : 0;
  if (format === 'png') return isProgressive ? channels * bytes : 0;
  if (format === 'webp' || format === 'gif') return 4;
  return format === 'avif' ? (channels + 1.5) * (bitsPerSample > 8 ? 2 : 1) : 0;
}

/** A file of a thousand bytes may promise a picture of gigabytes: what must be held whole may take a byte for each pixel of the limit. */
function checkHeld(
  input: PictureInput,
  header: LibraryHeader,
  format: PictureFormat,
  maxPixels: number,
): void {
  const held = header.width * header.height * heldBytes(header, format);
  // what has too many pixels in any case is told in pixels
  if (held <= maxPixels || header.width * header.height > maxPixels) return;
  const megabytes = (bytes: number) => Math.round(bytes / 1e6).toLocaleString('en-GB');
  const plain = format === 'jpeg' ? 'without progressive order' : 'without interlacing';
  throw inputError(
    input,
    'picture-too-large',
    `its ${header.width.toLocaleString('en-GB')} × ${header.height.toLocaleString('en-GB')} px must be held whole while it is decoded, which takes ${megabytes(held)} MB, more than the limit of ${megabytes(maxPixels)} MB`,
    `Save it ${format === 'jpeg' || format === 'png' ? plain : 'as PNG or TIFF'}, or raise the limit with --max-pixels ${Math.ceil(held)}.`,
  );
}

function orientationOf({ orientation = 1 }: LibraryHeader): Orientation {
  return orientation >= 1 && orientation <= 8 ? (orientation as Orientation) : 1;
}

function exifResolution({ exif, format }: LibraryHeader): Ppi | null {
  if (!exif || format === 'tiff') return null;
  const named = exif.subarray(0, 4).toString('latin1') === 'Exif';
  return plausible(exifPpi(readTiffTags(memoryBytes(named ? exif.subarray(6) : exif), 0)));
}
