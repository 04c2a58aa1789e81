import { expect, test } from 'vitest';
import { openThinLines } from '../../src/core/thin-lines.ts';

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
