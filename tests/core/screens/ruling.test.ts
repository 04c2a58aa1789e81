import { expect, test } from 'vitest';
import { type Bitmap, complementRow, getBit } from '../../../src/core/bitmap.ts';
import { eachOpened } from '../../../src/core/hold/opening.ts';
import type { PlateSide } from '../../../src/core/hold/words.ts';
import { dot } from '../../../src/core/screens/dot.ts';
import { line } from '../../../src/core/screens/line.ts';
import { fragmentsTrim, narrowestOf } from '../../../src/core/screens/ruling.ts';
import { seamsOf, trimRows } from '../../../src/core/trim.ts';
import { type Drawing, flat, placeOf, screened } from './drive.ts';

const SIDE = 300;
/** Farther from the picture's edges than a trim by 10 px may work. */
const AWAY = 40;

/** Wood: marks from 0.3 mm, lands from 0.5 mm, at 500 dpi. */
const places = (['ink', 'paper'] as const).map((etchedSide) =>
  placeOf({ etchedSide, minEtchedPx: 6, minKeptPx: 10 }),
);

test.each(
  [dot, line].flatMap((screen) =>
    [0, 15, 45].flatMap((angleDeg) => places.map((place) => ({ screen, angleDeg, place }))),
  ),
)(
  'what edges leave is taken away, flat tones stay: $screen.kind at $angleDeg°, $place.etchedSide etched',
  ({ screen, angleDeg, place }) => {
    const trim = fragmentsTrim(place)!;
    for (const percent of [10, 30, 50, 70, 90]) {
      const ink = screened(screen, flat(Math.round(655.35 * percent), SIDE), { angleDeg }, {}, place);
      if (place.etchedSide === 'paper')
        for (let y = 0; y < SIDE; y++) complementRow(ink.data, y * ink.strideBytes, SIDE);
      const trimmed = { ...ink, data: ink.data.slice() };
      trimRows(trimmed, trim, 0, SIDE, seamsOf(trimmed, trim, 0, SIDE));
      let changed = 0;
      for (let y = AWAY; y < SIDE - AWAY; y++)
        for (let x = AWAY; x < SIDE - AWAY; x++) if (getBit(ink, x, y) !== getBit(trimmed, x, y)) changed++;
      // a pattern's lands are opened before its marks, which may leave a nook here and there (0.00066 of the area at most)
      expect(changed / (SIDE - 2 * AWAY) ** 2, `${percent} %`).toBeLessThan(0.001);
    }
  },
);

/** Share of a side's pixels, away from the plate's edges, that neither the square nor the octagon of a width covers. */
function thinShare(map: Bitmap, side: PlateSide, widthPx: number): number {
  let [thin, all] = [0, 0];
  eachOpened(map, { side, widthPx }, ({ firstRow, rows, stride, origin, removed, source }) => {
    for (let y = Math.max(AWAY, firstRow); y < Math.min(SIDE - AWAY, firstRow + rows); y++)
      for (let x = AWAY; x < SIDE - AWAY; x++) {
        const at = origin + (y - firstRow) * stride + (x >> 5);
        const mask = 0x80000000 >>> (x & 31);
        if (removed[at]! & mask) thin++;
        if (source[at]! & mask) all++;
      }
  });
  return thin / all;
}

test.each([dot, line].flatMap((screen) => places.map((place) => ({ screen, place }))))(
  'pieces of $screen.kind that the edges of shapes cut off hold, $place.etchedSide etched',
  ({ screen, place }) => {
    const drawing: Drawing = {
      widthPx: SIDE,
      heightPx: SIDE,
      toneAt: (x, y) => {
        if (Math.hypot(x - 110, y - 120) < 61) return 0.3 * 65535;
        if (Math.abs(x - 205) + Math.abs(y - 190) < 55) return 0.6 * 65535;
        return x < 150 && y > 200 ? 65535 : 0;
      },
    };
    const ink = screened(screen, drawing, { angleDeg: 15 }, {}, place);
    if (place.etchedSide === 'paper')
      for (let y = 0; y < SIDE; y++) complementRow(ink.data, y * ink.strideBytes, SIDE);
    const { inkPx, paperPx } = narrowestOf(place);
    const [marksPx, landsPx] = place.etchedSide === 'ink' ? [inkPx, paperPx] : [paperPx, inkPx];
    const thin = (): number[] => [thinShare(ink, 'etched', marksPx), thinShare(ink, 'kept', landsPx)];
    const before = thin();
    trimRows(ink, fragmentsTrim(place)!, 0, SIDE, seamsOf(ink, fragmentsTrim(place)!, 0, SIDE));
    const [marks, lands] = thin();
    expect(before[0]! + before[1]!).toBeGreaterThan(0.005);
    expect(lands).toBe(0);
    // lands are opened after marks, and may leave a nook of one
    expect(marks).toBeLessThanOrEqual(before[0]! / 5);
  },
);
