import { createBitmap, getBit } from '../../../src/core/bitmap.ts';
import { drawStrokes } from '../../../src/core/layout/stroke-raster.ts';
import { textStrokes } from '../../../src/core/layout/strokefont.ts';
import { TONE_CENTRE, type ToneSource } from '../../../src/core/resample/index.ts';
import { rowStream } from '../../../src/core/rng.ts';

/** A made picture: ink tone 0 … 1, row by row. */
export interface Made {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly ink: Float64Array;
}

export function made(widthPx: number, heightPx: number, inkAt: (x: number, y: number) => number): Made {
  const ink = Float64Array.from({ length: widthPx * heightPx }, (_, i) =>
    inkAt(i % widthPx, Math.floor(i / widthPx)),
  );
  return { widthPx, heightPx, ink };
}

/** As rows of the grey source would come, in 256 levels like most pictures. */
export function sourceOf({ widthPx, heightPx, ink }: Made): ToneSource {
  const tones = Int16Array.from(
    ink,
    (share) => Math.round(Math.min(1, Math.max(0, share)) * 255) * 257 - TONE_CENTRE,
  );
  return {
    widthPx,
    heightPx,
    readRow: (y, into, at) => into.set(tones.subarray(y * widthPx, (y + 1) * widthPx), at),
  };
}

export interface DotScreen {
  readonly periodPx: number;
  readonly angleDeg: number;
}

/**
 * A photomechanical dot screen, pure geometry: its rows of dots stand `periodPx` apart and rise by `angleDeg` as one looks at the
 * picture. Each pixel is the mean of 16 points that are ink or not, as a scanner sees it.
 */
export function dots(
  side: number,
  { periodPx, angleDeg }: DotScreen,
  toneAt: (x: number, y: number) => number,
): Made {
  const angle = (angleDeg * Math.PI) / 180;
  const turn = (2 * Math.PI) / periodPx;
  const [c, s] = [Math.cos(angle) * turn, Math.sin(angle) * turn];
  return made(side, side, (x, y) => {
    let ink = 0;
    for (let k = 0; k < 16; k++) {
      const [u, v] = [x + ((k & 3) + 0.5) / 4, y + ((k >> 2) + 0.5) / 4];
      const hill = (Math.cos(c * u - s * v) + Math.cos(s * u + c * v)) / 4 + 0.5;
      if (hill > 1 - toneAt(x, y)) ink++;
    }
    return ink / 16;
  });
}

/** Softened by a Gaussian of so many pixels (straight sums, edges repeated). */
export function softened({ widthPx, heightPx, ink }: Made, sigmaPx: number): Made {
  const reach = Math.ceil(3 * sigmaPx);
  const weights = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sigmaPx ** 2)),
  );
  const sum = weights.reduce((a, b) => a + b, 0);
  const clamp = (i: number, n: number): number => Math.min(n - 1, Math.max(0, i));
  const across = made(widthPx, heightPx, (x, y) =>
    weights.reduce((a, w, i) => a + (w / sum) * ink[y * widthPx + clamp(x + i - reach, widthPx)]!, 0),
  );
  return made(widthPx, heightPx, (x, y) =>
    weights.reduce((a, w, i) => a + (w / sum) * across.ink[clamp(y + i - reach, heightPx) * widthPx + x]!, 0),
  );
}

/** With noise of this standard deviation (share of the scale), nearly normal: the sum of four even ones. */
export function noisy({ widthPx, heightPx, ink }: Made, deviation: number): Made {
  const next = rowStream(7, 0, 0);
  const even = (): number => next() / 2 ** 32 - 0.5;
  const grain = (): number => (even() + even() + even() + even()) * Math.sqrt(3) * deviation;
  return { widthPx, heightPx, ink: ink.map((share) => share + grain()) };
}

/** Paper and ink brought nearer, as a scanner sees them. */
export const printed = ({ widthPx, heightPx, ink }: Made, paper: number, solid: number): Made => ({
  widthPx,
  heightPx,
  ink: ink.map((share) => paper + share * (solid - paper)),
});

/** Floyd and Steinberg's error diffusion, from left to right. */
export function diffused({ widthPx, heightPx, ink }: Made): Made {
  const rest = ink.slice();
  return made(widthPx, heightPx, (x, y) => {
    const i = y * widthPx + x;
    const bit = rest[i]! >= 0.5 ? 1 : 0;
    const error = rest[i]! - bit;
    const give = (to: number, inside: boolean, sixteenths: number): void => {
      if (inside && to < rest.length) rest[to]! += (error * sixteenths) / 16;
    };
    give(i + 1, x + 1 < widthPx, 7);
    give(i + widthPx - 1, x > 0, 3);
    give(i + widthPx, true, 5);
    give(i + widthPx + 1, x + 1 < widthPx, 1);
    return bit;
  });
}

/** A shaded picture without a repeat: two soft hills, a slope and an edge. */
export function shaded(x: number, y: number): number {
  const hill = Math.exp(-((x - 150) ** 2 + (y - 180) ** 2) / 9000);
  const dip = Math.exp(-((x - 330) ** 2 + (y - 290) ** 2) / 16000);
  return 0.25 + 0.5 * hill + 0.35 * dip + (x + 2 * y > 980 ? 0.2 : 0) + 0.0002 * x;
}

/** Three lines of lettering, drawn with the program's own pen. */
export function lettering(): Made {
  const bitmap = createBitmap(420, 300);
  const text = ['Night Ferry', 'Ennerby Sound', '1st state, 3/15'];
  text.forEach((line, i) => {
    drawStrokes(bitmap, textStrokes(line, { heightMm: 8, xMm: 4, yMm: 14 + 16 * i }), {
      pxPerMm: 6,
      penMm: 0.7,
    });
  });
  return made(420, 300, (x, y) => getBit(bitmap, x, y));
}
