import { describe, expect, test } from 'vitest';
import { drawnSize } from '../../../src/io/read/svg/drawn.ts';
import { cssPx } from '../../../src/io/read/svg/size.ts';
import { drawn, inkBox, inspected, svg } from './svgs.ts';

describe('size', () => {
  // CSS Values and Units Level 4, 6.2: 1in = 2.54cm = 96px, 1pt = 1/72in, 1pc = 12pt, 1Q = 1/40cm.
  test.each([
    ['96px', 96],
    ['96', 96],
    ['1in', 96],
    ['2.54cm', 96],
    ['25.4mm', 96],
    ['101.6Q', 96],
    ['72pt', 96],
    ['6pc', 96],
    [' +1.5e1 px ', 15],
  ])('%s is %f CSS px', (length, px) => expect(cssPx(length)).toBeCloseTo(px, 9));

  test.each(['100%', '3em', '', '-4mm', '0', 'wide', undefined])('%s is no absolute length', (length) =>
    expect(cssPx(length)).toBeNull(),
  );

  test.each([
    ['width="100mm" height="50mm"', 100, 50],
    ['width="100mm" height="50mm" viewBox="0 0 7 3.5"', 100, 50],
    ['width="4in" viewBox="0 0 8 4"', 101.6, 50.8],
    ['height="50mm" viewBox="0 0 2 1"', 100, 50],
    ['width="96" height="48"', 25.4, 12.7],
    ['style="fill:red; width: 40mm; height:20mm" width="1mm" height="1mm"', 40, 20],
  ])('%s', async (root, widthMm, heightMm) => {
    const { facts } = await inspected(svg(root, ''));
    expect(facts.sizeMm?.widthMm).toBeCloseTo(widthMm, 9);
    expect(facts.sizeMm?.heightMm).toBeCloseTo(heightMm, 9);
    expect(facts).toMatchObject({ format: 'svg', drawing: true, cautions: [] });
  });

  test('a view box alone states proportions but no size', async () => {
    const { facts } = await inspected(svg('viewBox="0 0 30 20"', ''));
    expect(facts).toMatchObject({ widthPx: 30, heightPx: 20, ppiX: null, ppiY: null, sizeMm: null });
  });

  test('neither is refused', async () => {
    await expect(inspected(svg('', '<rect width="9" height="9"/>'))).rejects.toMatchObject({
      code: 'svg-without-size',
    });
  });

  test.each([
    ['in millimetres', 'width="100mm" height="50mm"', '<rect x="25mm" y="10mm" width="50mm" height="20mm"/>'],
    ['in px', 'width="100" height="50"', '<rect x="25" y="10" width="50" height="20"/>'],
    [
      'by a view box',
      'width="10cm" height="5cm" viewBox="0 0 20 10"',
      '<rect x="5" y="2" width="10" height="4"/>',
    ],
    ['by a view box alone', 'viewBox="0 0 200 100"', '<rect x="50" y="20" width="100" height="40"/>'],
    [
      'with its size in a style',
      'style="width:100mm;height:50mm"',
      '<rect x="25mm" y="10mm" width="50mm" height="20mm"/>',
    ],
  ])('a drawing measured %s is drawn true at any size', async (_, root, inner) => {
    for (const width of [200, 400, 1000]) {
      const picture = await drawn(svg(root, inner), width);
      expect([picture.grey.widthPx, picture.grey.heightPx]).toEqual([width, width / 2]);
      const px = width / 100;
      expect(inkBox(picture)).toEqual({
        left: 25 * px,
        right: 75 * px - 1,
        top: 10 * px,
        bottom: 30 * px - 1,
      });
    }
  });

  test('the resolution told is that of the pixels drawn', async () => {
    const { facts } = await drawn(svg('width="25.4mm" height="50.8mm"', ''), 600);
    expect(facts).toMatchObject({ widthPx: 600, heightPx: 1200, ppiX: 600, ppiY: 600 });
  });

  test('a black page has no sliver of paper at an edge, whatever the rounding', async () => {
    for (const width of [97, 333, 1001]) {
      const { grey } = await drawn(
        svg('width="70mm" height="30.3mm" viewBox="0 0 700 303"', '<rect width="700" height="303"/>'),
        width,
      );
      const corners = [
        grey.at(0, 0),
        grey.at(width - 1, 0),
        grey.at(0, grey.heightPx - 1),
        grey.at(width - 1, grey.heightPx - 1),
      ];
      expect(corners).toEqual([0, 0, 0, 0]);
    }
  });

  test('drawn sizes stay within the pixel limit and what can be drawn', () => {
    expect(drawnSize({ widthPx: 2, heightPx: 1 }, 90_000, 1e12)).toEqual({ widthPx: 32767, heightPx: 16384 });
    expect(drawnSize({ widthPx: 1, heightPx: 2 }, 90_000, 1e12)).toEqual({ widthPx: 16383, heightPx: 32766 });
    const { widthPx, heightPx } = drawnSize({ widthPx: 3, heightPx: 1 }, 5000, 1_000_000);
    expect(widthPx * heightPx).toBeLessThanOrEqual(1_001_000);
    expect(drawnSize({ widthPx: 1000, heightPx: 1 }, 10, 1e6)).toEqual({ widthPx: 10, heightPx: 1 });
  });
});
