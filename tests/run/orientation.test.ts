import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { freshPlace } from '../cli/run-cli.ts';
import { pngChunks, shareOfBlack } from './judges.ts';
import { makePlate } from './make.ts';
import { corpus } from './pictures.ts';

const place = freshPlace();

describe.each(['png', 'jpg', 'tif', 'webp'])('%s', (container) => {
  test.each([1, 2, 3, 4, 5, 6, 7, 8])(
    'C15 orientation %d: upright first, then sized, then mirrored, and no tag',
    async (orientation) => {
      const settings = {
        process: 'intaglio',
        widthMm: 60,
        heightMm: 40,
        dpi: 127,
        screen: 'bayer',
        matrix: 16,
        capPercent: 100,
      };
      const { plate, png, report } = await makePlate(
        place.path,
        corpus(`good/gen-orient-${orientation}.${container}`),
        settings,
      );
      expect([plate.widthPx, plate.heightPx]).toEqual([300, 200]);
      expect(report.input.orientation).toBe(orientation);
      const quarter = (left: number, top: number) => 255 * (1 - shareOfBlack(plate, left, top, 112, 64));
      // upright the quarters are 0, 64, 160, 255: from the plate's side left and right change places
      const seen = [quarter(16, 16), quarter(172, 16), quarter(16, 120), quarter(172, 120)];
      for (const [i, code] of [64, 0, 255, 160].entries()) expect(Math.abs(seen[i]! - code)).toBeLessThan(4);
      expect(pngChunks(png).map(({ type }) => type)).toEqual(
        expect.not.arrayContaining(['eXIf', 'tEXt', 'iTXt', 'zTXt']),
      );
      expect((await sharp(png).metadata()).orientation).toBeUndefined();
    },
  );
});

test('C15 the corpus files are what they claim to be', async () => {
  const stored = await sharp(readFileSync(corpus('good/gen-orient-6.jpg'))).metadata();
  expect([stored.width, stored.height, stored.orientation]).toEqual([40, 60, 6]);
});
