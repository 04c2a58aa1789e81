import type { Drawing } from './drive.ts';
import type { PublishedKernel } from './golden.ts';

/**
 * Error diffusion the obvious way: a whole picture of errors, every neighbour asked for by name, error that
 * would leave the picture dropped. `shares` says what each neighbour gets of an error.
 */
export function slowDiffusion(
  drawing: Drawing,
  scan: 'raster' | 'serpentine',
  isInk: (wanted: number, tone: number) => boolean,
  unitsPerTone: number,
  shares: (error: number, tone: number) => readonly (readonly [dx: number, dy: number, share: number])[],
): boolean[][] {
  const { widthPx, heightPx } = drawing;
  const errors = Array.from({ length: heightPx }, () => new Array<number>(widthPx).fill(0));
  const ink = Array.from({ length: heightPx }, () => new Array<boolean>(widthPx).fill(false));
  for (let y = 0; y < heightPx; y++) {
    const step = scan === 'serpentine' && y % 2 === 1 ? -1 : 1;
    for (let i = 0; i < widthPx; i++) {
      const x = step > 0 ? i : widthPx - 1 - i;
      const tone = drawing.toneAt(x, y);
      const wanted = tone * unitsPerTone + errors[y]![x]!;
      ink[y]![x] = isInk(wanted / unitsPerTone, tone);
      const error = wanted - (ink[y]![x] ? 65535 * unitsPerTone : 0);
      for (const [dx, dy, share] of shares(error, tone)) {
        const toX = x + dx * step;
        const toY = y + dy;
        if (toX >= 0 && toX < widthPx && toY < heightPx) errors[toY]![toX]! += share;
      }
    }
  }
  return ink;
}

/** Constant weights in real numbers, as the papers give them. */
export const realShares =
  ({ divisor, taps }: PublishedKernel) =>
  (error: number) =>
    taps.map(([dx, dy, weight]) => [dx, dy, (error * weight) / divisor] as const);

/** Constant weights in whole numbers: each a multiple of one rounded share, the pixel ahead takes the rest. */
export const wholeShares =
  ({ divisor, taps }: PublishedKernel, round: (value: number) => number) =>
  (error: number) => {
    const share = round(error / divisor);
    const given = taps.slice(1).map(([dx, dy, weight]) => [dx, dy, share * weight] as const);
    const rest = given.reduce((left, [, , part]) => left - part, error);
    return [[1, 0, rest] as const, ...given];
  };

/** Weights by tone in parts of 4096: ahead and below-behind rounded down, the pixel below takes the rest. */
export const sharesByTone =
  (triples: readonly (readonly [number, number, number])[]) => (error: number, tone: number) => {
    const level = tone >> 8;
    const [ahead, behind, below] = triples[Math.min(level, 255 - level)]!;
    const sum = ahead + behind + below;
    const part = (weight: number): number => Math.floor((error * Math.round((weight / sum) * 4096)) / 4096);
    const [toAhead, toBehind] = [part(ahead), part(behind)];
    return [
      [1, 0, toAhead] as const,
      [-1, 1, toBehind] as const,
      [0, 1, error - toAhead - toBehind] as const,
    ];
  };

/** Rows of hexadecimal digits, ink = 1, padded with 0. */
export const hexOf = (ink: readonly boolean[][]): string =>
  ink
    .map((row) => {
      const bytes = new Uint8Array((row.length + 7) >> 3);
      row.forEach((set, x) => {
        if (set) bytes[x >> 3]! |= 0x80 >> (x & 7);
      });
      return Buffer.from(bytes).toString('hex');
    })
    .join('');
