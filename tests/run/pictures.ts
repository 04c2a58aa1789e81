/** Pictures made for a test. They state no resolution of their own. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PNG } from 'pngjs';

const corpusFolder = join(import.meta.dirname, '../../fixtures/corpus');

/** Path of a file of the corpus, such as `good/gen-wedge21.png`. */
export const corpus = (file: string): string => join(corpusFolder, file);

/** An 8-bit grey PNG; `codeAt` gives the code of each pixel. */
export function greyPng(widthPx: number, heightPx: number, codeAt: (x: number, y: number) => number): Buffer {
  const data = Buffer.alloc(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) for (let x = 0; x < widthPx; x++) data[y * widthPx + x] = codeAt(x, y);
  const picture = { width: widthPx, height: heightPx, data } as unknown as PNG;
  return PNG.sync.write(picture, { colorType: 0, inputColorType: 0, deflateLevel: 1 });
}

/** Writes a picture into a folder and gives its path. */
export function save(folder: string, name: string, picture: Buffer): string {
  const path = join(folder, name);
  writeFileSync(path, picture);
  return path;
}

/** Even numbers 0…1 that are the same in every run (Numerical Recipes, 2nd ed. 1992, section 7.1). */
export function evenNumbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Black and white at random: nothing compresses it, and every bit out of place shows. */
export function noise(widthPx: number, heightPx: number, seed = 1): Buffer {
  const next = evenNumbers(seed);
  return greyPng(widthPx, heightPx, () => (next() < 0.5 ? 0 : 255));
}

/** Soft shapes of every tone with a little grain, as a photograph has them. */
export function photograph(widthPx: number, heightPx: number): Buffer {
  const next = evenNumbers(7);
  return greyPng(widthPx, heightPx, (x, y) => {
    const soft = Math.sin(x / 97) * Math.cos(y / 61) + Math.sin((x + 2 * y) / 211);
    return Math.max(0, Math.min(255, Math.round(127 + 75 * soft + 16 * (next() - 0.5))));
  });
}
