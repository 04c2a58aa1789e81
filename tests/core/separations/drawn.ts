import fc from 'fast-check';
import { type Bitmap, getBit } from '../../../src/core/bitmap.ts';
import type { Labels, SetInk } from '../../../src/core/separations/contract.ts';

/** Letters as labels: `.` is paper, `1` the first ink. */
export function labelled(...rows: readonly string[]): Labels {
  const widthPx = rows[0]!.length;
  const data = Uint8Array.from(rows.join(''), (sign) => (sign === '.' ? 0 : Number(sign)));
  return { widthPx, heightPx: rows.length, data };
}

export const shown = ({ widthPx, data }: Labels): string[] =>
  Array.from({ length: data.length / widthPx }, (_, y) =>
    Array.from(data.subarray(y * widthPx, (y + 1) * widthPx), (label) => (label === 0 ? '.' : label)).join(
      '',
    ),
  );

/** Pictures of patches rather than of noise: every pixel takes the label of the nearest of a few seeds. */
export const patches = (inks: number): fc.Arbitrary<Labels> =>
  fc
    .record({
      widthPx: fc.integer({ min: 1, max: 30 }),
      heightPx: fc.integer({ min: 1, max: 20 }),
      seeds: fc.array(
        fc.record({
          x: fc.integer({ min: 0, max: 29 }),
          y: fc.integer({ min: 0, max: 19 }),
          label: fc.integer({ min: 0, max: inks }),
        }),
        { minLength: 1, maxLength: 14 },
      ),
    })
    .map(({ widthPx, heightPx, seeds }) => {
      const data = new Uint8Array(widthPx * heightPx);
      for (let i = 0; i < data.length; i++) {
        const [x, y] = [i % widthPx, Math.floor(i / widthPx)];
        let best = Number.POSITIVE_INFINITY;
        for (const seed of seeds) {
          const far = Math.hypot(seed.x - x, seed.y - y);
          if (far < best) {
            best = far;
            data[i] = seed.label;
          }
        }
      }
      return { widthPx, heightPx, data };
    });

/** Inks from light to dark, grey. */
export const greys = (count: number, opaque = true): SetInk[] =>
  Array.from({ length: count }, (_, index) => {
    const share = 1 - (index + 1) / (count + 1);
    return { name: `n${index + 1}`, colour: '#000000', light: [share, share, share], opaque };
  });

export function eachPixel(
  { widthPx, heightPx }: Pick<Bitmap, 'widthPx' | 'heightPx'>,
  visit: (x: number, y: number, at: number) => void,
): void {
  for (let y = 0; y < heightPx; y++) for (let x = 0; x < widthPx; x++) visit(x, y, y * widthPx + x);
}

/** What is seen when opaque plates are printed over each other in their order: the last that prints. */
export function composed(plates: readonly Bitmap[]): Uint8Array {
  const seen = new Uint8Array(plates[0]!.widthPx * plates[0]!.heightPx);
  for (const [index, plate] of plates.entries())
    eachPixel(plate, (x, y, at) => {
      if (getBit(plate, x, y)) seen[at] = index + 1;
    });
  return seen;
}
