import { readFileSync } from 'node:fs';
import { type Drawing, toneOfCode } from './drive.ts';

const read = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../../fixtures/oracles/${name}`, import.meta.url), 'utf8'));

export interface PublishedKernel {
  readonly source: string;
  readonly divisor: number;
  /** dx, dy, weight; dx in the direction of scan. */
  readonly taps: readonly (readonly [number, number, number])[];
}

export const errorDiffusion = read('error-diffusion.json') as {
  kernels: Record<string, PublishedKernel>;
  /** By kernel, then by "drawing_scan": 16 rows of 16 pixels as hexadecimal digits, 1 = white. */
  golden: Record<string, Record<string, string>>;
};

export const bayerData = read('bayer.json') as {
  matrices: Record<string, number[][]>;
  golden: Record<string, string>;
};

export const zhouFangData = read('zhou-fang.json') as {
  strengthPercent: number[];
  triples: (readonly [number, number, number])[];
};

/** The 16 × 16 drawings of the published bitmaps: "ramp", "diag", "flat64" … */
export function goldenDrawing(name: string): Drawing {
  const codeAt = (x: number, y: number): number => {
    if (name === 'ramp') return 17 * x;
    if (name === 'diag') return Math.floor(((x + y) * 255) / 30);
    return Number(name.slice('flat'.length));
  };
  return { widthPx: 16, heightPx: 16, toneAt: (x, y) => toneOfCode(codeAt(x, y)) };
}

/** The published bitmaps hold white as 1, ours ink. */
export const turnedOver = (digits: string): string =>
  Buffer.from(Buffer.from(digits, 'hex').map((byte) => ~byte)).toString('hex');
