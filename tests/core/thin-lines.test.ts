import { expect, test } from 'vitest';
import { openThinLines, openThinSides } from '../../src/core/thin-lines.ts';

const count = (text: string, limitX: number, limitY = limitX) => {
  const rows = text.split('\n').map((line) => line.trim());
  const counter = openThinLines(rows[0]!.length, limitX, limitY, 0);
  for (const row of rows)
    counter.row(
      Int16Array.from(row, (c) => (c === '#' ? 1 : 0)),
      0,
    );
  return counter.finish();
};

test('one upright line of one pixel is one thin line at a step of two', () => {
  expect(count('..#..\n..#..\n..#..\n.....', 2)).toEqual({ count: 1, thinnestPx: 1 });
});

test('one level line is one, and a line of two pixels is not thin at a step of two', () => {
  expect(count('......\n######\n......', 2)).toEqual({ count: 1, thinnestPx: 1 });
  expect(count('.......\n.##....\n.##....\n.##....\n.......', 2)).toEqual({ count: 0, thinnestPx: 0 });
});

test('a slanting line is one piece across, whatever its slope', () => {
  expect(count('.....#\n....#.\n...#..\n..#...', 2, 1)).toEqual({ count: 1, thinnestPx: 1 });
});

test('lines apart are counted apart', () => {
  expect(count('.#.#.#.\n.#.#.#.\n.......', 2, 1).count).toBe(3);
});

test('a line cut by the edge of the picture is not judged', () => {
  expect(count('#....\n#....\n#....', 2, 1).count).toBe(0);
  expect(count('#####\n.....', 1, 2).count).toBe(0);
});

test('nothing is thin where the picture is not reduced', () => {
  expect(count('..#..\n..#..', 1).count).toBe(0);
});

test('gaps between lines are counted like lines', () => {
  // a block with an upright gap of one pixel and a level line of one pixel below it
  const rows = [0b00000000, 0b01101110, 0b01101110, 0b01101110, 0b00000000, 0b01111110, 0b00000000];
  const counter = openThinSides(8, 2, 1);
  for (const bits of rows) counter.row(Uint8Array.of(bits));
  expect(counter.finish()).toEqual({ ink: { count: 0, thinnestPx: 0 }, paper: { count: 1, thinnestPx: 1 } });
  // the level gap between them is in two pieces, as the upright one runs into it
  const level = openThinSides(8, 1, 2);
  for (const bits of rows) level.row(Uint8Array.of(bits));
  expect(level.finish()).toEqual({ ink: { count: 1, thinnestPx: 1 }, paper: { count: 2, thinnestPx: 1 } });
});
