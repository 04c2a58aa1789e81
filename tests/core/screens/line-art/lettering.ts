import { createBitmap, getBit } from '../../../../src/core/bitmap.ts';
import { drawStrokes } from '../../../../src/core/layout/stroke-raster.ts';
import { type Stroke, textStrokes } from '../../../../src/core/layout/strokefont.ts';
import type { Drawing } from '../drive.ts';

/** Samples along each side of a pixel. */
const FINE = 4;

interface Penned {
  readonly strokes: readonly Stroke[];
  readonly penPx: number;
}

/** Strokes with soft edges on white, lengths in pixels: drawn four times as large and averaged. */
export function inked(widthPx: number, heightPx: number, parts: readonly Penned[]): Drawing {
  const large = createBitmap(widthPx * FINE, heightPx * FINE);
  for (const { strokes, penPx } of parts) drawStrokes(large, strokes, { pxPerMm: FINE, penMm: penPx });
  const tones = new Uint16Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      let sum = 0;
      for (let j = 0; j < FINE; j++)
        for (let i = 0; i < FINE; i++) sum += getBit(large, x * FINE + i, y * FINE + j);
      tones[y * widthPx + x] = Math.round((65535 * sum) / FINE ** 2);
    }
  }
  return { widthPx, heightPx, toneAt: (x, y) => tones[y * widthPx + x]! };
}

export const line = (x0: number, y0: number, x1: number, y1: number, penPx: number): Penned => ({
  strokes: [
    [
      { xMm: x0, yMm: y0 },
      { xMm: x1, yMm: y1 },
    ],
  ],
  penPx,
});

export const text = (
  words: string,
  heightPx: number,
  x: number,
  y: number,
  penPx = heightPx / 8,
): Penned => ({
  strokes: textStrokes(words, { heightMm: heightPx, xMm: x, yMm: y }),
  penPx,
});

/** Parallel lines, `gapPx` apart, leaning by `lean` pixels over their height. */
function hatch(x: number, y: number, size: number, penPx: number, gapPx: number, lean: number): Penned {
  const strokes: Stroke[] = [];
  for (let at = 0; at < size; at += penPx + gapPx)
    strokes.push(...line(x + at, y, x + at + lean, y + size, penPx).strokes);
  return { strokes, penPx };
}

/** Lettering 12 … 44 px high, lines of 1 … 6 px level, upright and aslant at odd places between the pixels, and hatches. */
export function letteringSheet(): Drawing {
  const parts: Penned[] = [];
  let y = 10;
  for (const height of [12, 16, 20, 28, 36, 44]) {
    y += height + 8;
    parts.push(text('Night Ferry & Sound 1926', height, 8.3, y));
  }
  for (let pen = 1; pen <= 6; pen++) {
    const at = pen * 22;
    parts.push(line(10, 236 + at / 2.1, 120, 236 + at / 2.1, pen));
    parts.push(line(132.3 + at * 0.93, 242, 132.3 + at * 0.93, 312, pen));
    parts.push(line(276 + at, 242, 296 + at * 1.3, 312, pen));
  }
  const hatches = [
    [1, 3],
    [2, 2],
    [3, 1],
    [2, 4],
    [3, 3],
    [4, 2.5],
  ] as const;
  hatches.forEach(([pen, gap], i) => {
    parts.push(hatch(12 + i * 78, 330, 40, pen, gap, i % 2 ? 17 : 0));
  });
  return inked(480, 384, parts);
}
