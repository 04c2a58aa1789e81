import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { decodePicture } from '../../../src/io/read/decode.ts';
import { inspectPicture } from '../../../src/io/read/inspect.ts';
import { emptyFolder, greyOf } from './pictures.ts';

/** Where the drawings are written. */
export const folder = emptyFolder();
const file = join(folder, 'drawing.svg');

export const svg = (root: string, inner: string, before = '') =>
  `${before}<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ${root}>${inner}</svg>`;

export async function inspected(text: string | Uint8Array, maxPixels = 1e8) {
  writeFileSync(file, text);
  return inspectPicture({ path: file, name: 'drawing.svg' }, { maxPixels, scratchDir: folder });
}

export const drawn = async (text: string | Uint8Array, drawingWidthPx: number) => {
  const picture = await decodePicture(await inspected(text), { drawingWidthPx });
  return { facts: picture.facts, grey: greyOf(picture) };
};

/** The box of ink of a drawing: first and last columns and rows darker than half. */
export function inkBox({ grey }: Awaited<ReturnType<typeof drawn>>) {
  const box = { left: grey.widthPx, right: -1, top: grey.heightPx, bottom: -1 };
  for (let y = 0; y < grey.heightPx; y++) {
    for (let x = 0; x < grey.widthPx; x++) {
      if (grey.at(x, y) > 127) continue;
      box.left = Math.min(box.left, x);
      box.right = Math.max(box.right, x);
      box.top = Math.min(box.top, y);
      box.bottom = Math.max(box.bottom, y);
    }
  }
  return box;
}
