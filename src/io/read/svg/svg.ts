import { join } from 'node:path';
import { openSamples } from '../../scratch.ts';
import type { ByteSource } from '../bytes.ts';
import { corruptError, inputError, type PictureInput } from '../input.ts';
import { loadDecoder } from '../library/decoder.ts';
import type { DecodeWork, PictureHeader, PictureReader } from '../reader.ts';
import { scratchFault } from '../room.ts';
import { type DrawOrder, drawApart, TooCostly } from './apart.ts';
import { svgCautions } from './cautions.ts';
import { type DrawnSize, drawnSize } from './drawn.ts';
import { checkEmbedded } from './embedded.ts';
import { type SvgSize, svgSize } from './size.ts';
import { type SvgRoot, svgRoot, withRoot, xmlText } from './text.ts';

// CSS px an inch. The library multiplies sizes in millimetres by the density twice, so the root is always
// given to it in px; the density then only tells lengths inside the drawing what an inch is.
const density = 96;
const libraryDensity = 72;
const mostBytes = 32 << 20;
// Each tag, opening or closing, takes the library about a thousand bytes and ten microseconds.
const mostTags = 400_000;
// Parsing a short text costs less than starting a process for it, whatever stands in it.
const shortChars = 64_000;
const trialWidthPx = 64;

/** Reads SVG drawings, at any size. The text is handed on without a place, so nothing near the file can be read. */
export const readSvg: PictureReader = async (input, bytes, _format, options) => {
  const { text, root, size } = parsed(input, bytes);
  const draw = (drawn: DrawnSize, file: string | null, as: DrawOrder['as'], signal?: AbortSignal) =>
    refusing(
      input,
      () => drawApart(drawnText(text, root, size, drawn), { density, ...drawn, file, as }, signal),
      options.scratchDir,
    );
  // Parsed before any work, so that a damaged one is told at once; a small size keeps the answer small.
  const trial = drawnSize(size, trialWidthPx, options.maxPixels);
  if (text.length > shortChars) await draw(trial, null, 'b-w');
  else await refusing(input, () => parse(drawnText(text, root, size, trial)), options.scratchDir);
  await checkEmbedded(input, text, options.maxPixels);
  const drawTo = async (name: string, as: DrawOrder['as'], { folder, signal, ...drawn }: DecodeWork) => {
    const file = join(folder, name);
    await draw(drawn, file, as, signal);
    return openSamples(file);
  };
  return {
    header: headerOf(text, size),
    bytesPerPixel: options.colour ? 3 : 1,
    decode: async (work) => ({
      samples: await drawTo('drawing.v', options.colour ? 'srgb' : 'b-w', work),
      curve: null,
    }),
    decodeAlpha: (work) => drawTo('alpha.v', 'alpha', work),
  };
};

function parsed(input: PictureInput, bytes: ByteSource): { text: string; root: SvgRoot; size: SvgSize } {
  if (bytes.size > mostBytes) {
    throw inputError(
      input,
      'svg-too-long',
      `the drawing is ${Math.round(bytes.size / (1 << 20))} MB long, more than the limit of ${mostBytes >> 20} MB`,
      'Simplify it, or export it as PNG at the size you need.',
    );
  }
  const view = bytes.read(0, bytes.size);
  const text = xmlText(new Uint8Array(view.buffer, view.byteOffset, view.byteLength));
  if (tagsUpTo(text, mostTags) > mostTags)
    throw tooCostly(input, `the drawing has more than ${mostTags.toLocaleString('en-GB')} tags, the limit`);
  const root = svgRoot(text);
  if (!root) throw corruptError(input);
  const size = svgSize(root);
  if (size) return { text, root, size };
  throw inputError(
    input,
    'svg-without-size',
    'the drawing states neither a size nor a view box',
    'Set the page size in the drawing program and export again.',
  );
}

const parse = async (text: Uint8Array) =>
  (await loadDecoder()).open(text, { density, limitInputPixels: false }).metadata();

/** How many tags there are; counting ends above `most`. */
function tagsUpTo(text: string, most: number): number {
  let tags = 0;
  for (let at = text.indexOf('<'); at >= 0 && tags <= most; at = text.indexOf('<', at + 1)) tags++;
  return tags;
}

async function refusing(
  input: PictureInput,
  work: () => Promise<unknown>,
  scratchDir: string,
): Promise<void> {
  try {
    await work();
  } catch (error) {
    if (error instanceof TooCostly) throw tooCostly(input, error.message, error);
    throw scratchFault(scratchDir, error) ?? corruptError(input, error);
  }
}

const tooCostly = (input: PictureInput, what: string, cause?: unknown) =>
  inputError(
    input,
    'svg-too-costly',
    what,
    'Take out filters, patterns and copies of copies, or export it as PNG at the size you need.',
    cause,
  );

function drawnText(text: string, root: SvgRoot, size: SvgSize, { widthPx, heightPx }: DrawnSize): Uint8Array {
  const scale = libraryDensity / density;
  const style = root.attributes.get('style')?.replace(/(^|;)\s*(?:width|height)\s*:[^;]*/g, '$1');
  const changed = withRoot(text, root, {
    ...size.fitting,
    ...(style !== undefined && { style }),
    width: `${widthPx * scale}px`,
    height: `${heightPx * scale}px`,
  });
  return new TextEncoder().encode(changed);
}

function headerOf(text: string, size: SvgSize): PictureHeader {
  const widthPx = Math.max(1, Math.round(size.widthPx));
  const heightPx = Math.max(1, Math.round(size.heightPx));
  return {
    widthPx,
    heightPx,
    // Whole pixels over the exact size, so that the size itself is kept.
    ppi: size.absolute
      ? { x: (widthPx / size.widthPx) * density, y: (heightPx / size.heightPx) * density }
      : null,
    orientation: 1,
    alpha: true,
    profile: null,
    depthBits: 8,
    frames: 1,
    frame: 1,
    blackCode: 0,
    whiteCode: 255,
    drawing: true,
    cautions: svgCautions(text),
  };
}
