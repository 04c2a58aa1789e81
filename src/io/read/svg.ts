import { join } from 'node:path';
import { openSamples } from '../scratch.ts';
import type { ByteSource } from './bytes.ts';
import { loadDecoder } from './decoder.ts';
import { corruptError, inputError, type PictureInput } from './input.ts';
import type { PictureHeader, PictureReader } from './reader.ts';
import { scratchFault } from './room.ts';
import { svgCautions } from './svg-cautions.ts';
import { type DrawnSize, drawnSize } from './svg-drawn.ts';
import { checkEmbedded } from './svg-embedded.ts';
import { type SvgSize, svgSize } from './svg-size.ts';
import { type SvgRoot, svgRoot, withRoot, xmlText } from './svg-text.ts';

// CSS px an inch. The library multiplies sizes in millimetres by the density twice, so the root is always
// given to it in px; the density then only tells lengths inside the drawing what an inch is.
const density = 96;
const libraryDensity = 72;
const mostBytes = 64 << 20;
const trialWidthPx = 64;
const paper = '#ffffff';

/** Reads SVG drawings, at any size. The text is handed on without a place, so nothing near the file can be read. */
export const readSvg: PictureReader = async (input, bytes, _format, options) => {
  const { text, root, size } = parsed(input, bytes);
  const decoder = await loadDecoder();
  const drawing = (drawn: DrawnSize) =>
    decoder.open(drawnText(text, root, size, drawn), { density, limitInputPixels: false });
  // Reading the header parses all of the drawing; a small size keeps the answer small.
  await refusing(input, () => drawing(drawnSize(size, trialWidthPx, options.maxPixels)).metadata());
  await checkEmbedded(decoder, input, text, options.maxPixels);
  return {
    header: headerOf(text, size),
    bytesPerPixel: options.colour ? 3 : 1,
    decode: async ({ folder, widthPx, heightPx }) => {
      const file = join(folder, 'drawing.v');
      const image = drawing({ widthPx, heightPx })
        .resize(widthPx, heightPx, { fit: 'fill' })
        .flatten({ background: paper })
        .toColourspace(options.colour ? 'srgb' : 'b-w');
      await refusing(input, () => image.toFile(file), options.scratchDir);
      return { samples: openSamples(file), curve: null };
    },
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

async function refusing<T>(input: PictureInput, work: () => Promise<T>, scratchDir?: string): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw (scratchDir !== undefined && scratchFault(scratchDir, error)) || corruptError(input, error);
  }
}

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
