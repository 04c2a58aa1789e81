import { describe, expect, test } from 'vitest';
import { cellSize } from '../../../../src/core/screens/cell/size.ts';
import { vertexLosses } from '../../../../src/core/screens/cell/vertex.ts';
import type { Beam } from '../../../../src/core/spot/regions.ts';
import { drawing } from '../../drawing.ts';
import { slowEtchedPx, tile } from '../../spot/slow.ts';
import { eroded, predictedShare, spotted } from './measure.ts';

const FULL = 65535 * 256;

function lossesFor(spotPx: number, cellPx: number, beam: Beam = 'pulse') {
  const place = spotted(spotPx, { beam });
  const size = cellSize(cellPx / place.pxPerMm, place);
  return { place, size, losses: Array.from(vertexLosses(place, size), (loss) => loss / FULL) };
}

test('a spot of two pixels on cells of two loses what plane geometry says', () => {
  const { losses } = lossesFor(2, 2);
  // one cell is one disc in the square around it; two side by side are three discs in a row, a radius apart: two half
  // discs, and four times what lies above and below the quarter next to a middle, the integral of 2·√(1 − x²) from 0 to ½
  const single = (1 - Math.PI / 4) / 4;
  const beside = ((8 - (Math.PI + 4 * (Math.sqrt(3) / 4 + Math.PI / 6))) / 4 - 4 * single) / 2;
  expect(losses[1]).toBeCloseTo(single, 5);
  expect(losses[3]).toBeCloseTo(beside, 5);
  expect(losses[5]).toBeCloseTo(beside, 5);
  // the circles of two corners touch in a point
  expect(losses[9]).toBeCloseTo(2 * single, 5);
  expect(losses[15]).toBeCloseTo(0, 5);
});

test('three cells round a corner, by the chords of their marks on many lines', () => {
  const { place, losses } = lossesFor(2, 2);
  const corner = eroded(drawing('........\n..####..\n..####..\n..##....\n..##....\n........'), 2, 2);
  // a bend has five outer corners, two places side by side, one inner corner
  expect(3 - slowEtchedPx(corner, place, 400) / 4).toBeCloseTo(
    5 * losses[1]! + losses[3]! + losses[5]! + losses[7]!,
    3,
  );
});

describe.each([
  [1, 1, 'pulse'],
  [1, 2, 'pulse'],
  [2, 3, 'pulse'],
  [2.95, 3, 'pulse'],
  [2.95, 5, 'pulse'],
  [1, 2, 'sweep'],
  [2, 2, 'sweep'],
  [2.95, 4, 'sweep'],
] as const)('spot of %d px on cells of %d px, %s', (spotPx, cellPx, beam) => {
  const { place, size, losses } = lossesFor(spotPx, cellPx, beam);

  test('the losses of all vertices of a pattern add up to what the whole pattern loses', () => {
    const cells = ['#.##.#.', '##..#..', '.#.###.', '...####', '#..##..', '##....#'];
    const [columns, rows] = [cells[0]!.length, cells.length];
    const at = (x: number, y: number): number =>
      Number(cells[(y + rows) % rows]![(x + columns) % columns] === '#');
    let wanted = 0;
    for (let y = 0; y < rows; y++)
      for (let x = 0; x < columns; x++)
        wanted += at(x, y) - losses[at(x, y) + 2 * at(x - 1, y) + 4 * at(x, y - 1) + 8 * at(x - 1, y - 1)]!;

    // the pattern five times each way; its middle part has all its neighbours
    const { cellPx: span, erodePx } = size;
    const widened = cells.flatMap((row) =>
      new Array<string>(span.y).fill([...row].map((cell) => cell.repeat(span.x)).join('')),
    );
    const one = drawing(widened.join('\n'));
    const high = tile(one, one.widthPx * 5, one.heightPx * 5);
    const pulses = eroded(high, erodePx.x, erodePx.y);
    const fired = (from: number, to: number): number =>
      predictedShare(pulses, place, from * one.heightPx, to * one.heightPx) * high.widthPx * one.heightPx;
    const whole = fired(2, 3);
    // sides of the plate cut marks: told from a plate of four patterns across
    const narrow = eroded(tile(one, one.widthPx * 4, one.heightPx * 5), erodePx.x, erodePx.y);
    const less =
      predictedShare(narrow, place, 2 * one.heightPx, 3 * one.heightPx) * narrow.widthPx * one.heightPx;
    expect((whole - less) / (span.x * span.y)).toBeCloseTo(wanted, 3);
  });
});
