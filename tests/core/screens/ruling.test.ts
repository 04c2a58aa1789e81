import { expect, test } from 'vitest';
import { complementRow, getBit } from '../../../src/core/bitmap.ts';
import { dot } from '../../../src/core/screens/dot.ts';
import { line } from '../../../src/core/screens/line.ts';
import { fragmentsTrim } from '../../../src/core/screens/ruling.ts';
import { seamsOf, trimRows } from '../../../src/core/trim.ts';
import { flat, placeOf, screened } from './drive.ts';

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
      // a pattern's lands are opened before its marks, which may leave a nook here and there
      expect(changed / (SIDE - 2 * AWAY) ** 2, `${percent} %`).toBeLessThan(0.0005);
    }
  },
);
