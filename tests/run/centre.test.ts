import { expect, test } from 'vitest';
import { freshPlace } from '../cli/run-cli.ts';
import type { Seen } from './judges.ts';
import { makePlate } from './make.ts';
import { corpus } from './pictures.ts';

const place = freshPlace();

/** Middle of all black pixels, in pixels from the first one's centre. */
function centreOfBlack({ widthPx, heightPx, black }: Seen): { x: number; y: number; count: number } {
  let [sumX, sumY, count] = [0, 0, 0];
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++)
      if (black[y * widthPx + x] === 1) {
        sumX += x;
        sumY += y;
        count++;
      }
  return { x: sumX / count, y: sumY / count, count };
}

// 101 px of the picture on 101·s px of plate: its middle must stay in the middle (C19; libvips is half a pixel off)
test.each([2, 2.37, 3, 5])('C19 a dot in the middle stays in the middle when enlarged %d×', async (scale) => {
  const dpi = 1270;
  const px = Math.round(101 * scale);
  const settings = {
    process: 'intaglio',
    screen: 'threshold',
    levelPercent: 20,
    capPercent: 100,
    facing: 'print',
    dpi,
    widthMm: (px * 25.4) / dpi,
    heightMm: (px * 25.4) / dpi,
  };
  const { plate } = await makePlate(place.path, corpus('good/gen-impulse.png'), settings);
  const { x, y, count } = centreOfBlack(plate);
  expect(plate.widthPx).toBe(px);
  expect(count).toBeGreaterThan(1);
  expect(x).toBeCloseTo((px - 1) / 2, 6);
  expect(y).toBeCloseTo((px - 1) / 2, 6);
});
