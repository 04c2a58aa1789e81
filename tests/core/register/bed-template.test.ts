import { expect, test } from 'vitest';
import { bedTemplate } from '../../../src/core/register/bed-template.ts';
import { writeOutlinePdf } from '../../../src/io/outlines/pdf.ts';

const wish = {
  paper: { widthMm: 380, heightMm: 280 },
  plate: { widthMm: 241.1, heightMm: 160.5 },
  footMm: 65,
  name: 'night-ferry',
};
const page = bedTemplate(wish);

test('the template has paper and plate at their sizes, the plate in the middle across and as high as asked', () => {
  const boxes = page.lines
    .flatMap(({ paths }) => paths)
    .map(({ start, segments }) => {
      const xs = [start, ...segments.map(({ to }) => to)].map(({ x }) => x);
      const ys = [start, ...segments.map(({ to }) => to)].map(({ y }) => y);
      return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
    });
  const [paper, plate] = boxes as [(typeof boxes)[0], (typeof boxes)[0]];
  expect(boxes.length).toBe(2);
  expect([paper.right - paper.left, paper.bottom - paper.top]).toEqual([380, 280]);
  expect(plate.right - plate.left).toBeCloseTo(241.1, 9);
  expect(plate.bottom - plate.top).toBeCloseTo(160.5, 9);
  expect(plate.left - paper.left).toBeCloseTo(paper.right - plate.right, 9);
  expect(paper.bottom - plate.bottom).toBeCloseTo(65, 9);
  expect(paper.right).toBeLessThan(page.widthMm);
  expect(paper.bottom).toBeLessThan(page.heightMm);
});

test('a ruler of 100 mm has a tick for every millimetre', () => {
  const strokes = page.lines.flatMap(({ strokes: drawn }) => drawn ?? []);
  const level = strokes.filter(([a, b]) => a!.y === b!.y && Math.abs(b!.x - a!.x - 100) < 1e-9);
  expect(level.length).toBe(1);
  const [start] = level[0]!;
  const ticks = strokes.filter(([a, b]) => a!.x === b!.x && a!.y === start!.y).map(([a]) => a!.x - start!.x);
  expect(ticks.map((x) => Math.round(x * 1e6) / 1e6)).toEqual(Array.from({ length: 101 }, (_, i) => i));
});

test('the file is a page of exactly that size, in points of 1/72 inch, and the same every time', async () => {
  const write = async (): Promise<string> => {
    const pieces = await writeOutlinePdf({ ...page, colour: '000000', title: 'bed' });
    return Buffer.concat(pieces).toString('latin1');
  };
  const text = await write();
  const [, width, height] = /MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(text)!;
  expect((Number(width) * 25.4) / 72).toBeCloseTo(page.widthMm, 4);
  expect((Number(height) * 25.4) / 72).toBeCloseTo(page.heightMm, 4);
  expect(await write()).toBe(text);
});

test('a plate that does not lie on its paper is told', () => {
  expect(() => bedTemplate({ ...wish, plate: { widthMm: 381, heightMm: 100 } })).toThrow(RangeError);
  expect(() => bedTemplate({ ...wish, footMm: 130 })).toThrow(/does not lie on paper of 380 × 280 mm/);
});
