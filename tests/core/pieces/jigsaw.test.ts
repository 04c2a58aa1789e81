import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { measurePaths } from '../../../src/core/outlines/measure.ts';
import { backMap } from '../../../src/core/pieces/back-map.ts';
import { bordersOf, OUTSIDE } from '../../../src/core/pieces/borders.ts';
import { chineShape, dryMm, isCutMirrored } from '../../../src/core/pieces/chine.ts';
import { cutPage } from '../../../src/core/pieces/cut-page.ts';
import { jigsawOf } from '../../../src/core/pieces/jigsaw.ts';
import type { FlatColours } from '../../../src/core/pieces/partition.ts';
import { partitionOf } from '../../../src/core/pieces/partition.ts';
import { sheetsFor } from '../../../src/core/pieces/sheets.ts';
import { hausdorffMm } from '../outlines/shapes.ts';

/** A canvas of 0.1 mm cells, painted by a function of the middles of its cells in mm. */
function painted(widthMm: number, heightMm: number, colour: (x: number, y: number) => number): FlatColours {
  const [widthPx, heightPx] = [widthMm * 10, heightMm * 10];
  const data = Uint8Array.from({ length: widthPx * heightPx }, (_, at) =>
    colour(((at % widthPx) + 0.5) / 10, (Math.floor(at / widthPx) + 0.5) / 10),
  );
  return { widthPx, heightPx, data };
}

/** A lighthouse: a disc on a slanting edge, with sea and sky beside it. */
const picture = painted(60, 40, (x, y) => {
  if (Math.hypot(x - 40, y - 14) < 9) return 2;
  return y > 18 + 0.3 * x ? 1 : 0;
});
const wish = { widthMm: 60, heightMm: 40, kerfMm: 0.2 } as const;
const one = jigsawOf(picture, { ...wish, cut: 'one-sheet' });
const two = jigsawOf(picture, { ...wish, cut: 'own-sheets' });

const codes = (piece: { readonly cautions: readonly { readonly code: string }[] }): string[] =>
  piece.cautions.map(({ code }) => code);

describe('jigsaw plates', () => {
  test('together are the whole canvas, whatever their lines are made of', () => {
    expect(one.pieces.map(({ id }) => id)).toEqual(['A1', 'C1', 'B1']);
    expect(one.pieces.reduce((sum, { areaMm2 }) => sum + areaMm2, 0)).toBeCloseTo(60 * 40, 2);
  });

  test('have the shape that was drawn: a disc, and a straight edge', () => {
    const disc = one.pieces.find(({ id }) => id === 'C1')!;
    expect(Math.abs(disc.areaMm2 - Math.PI * 81)).toBeLessThan(0.5);
    for (const { x, y } of disc.loops[0]!)
      expect(Math.abs(Math.hypot(x - 40, y - 14) - 9)).toBeLessThan(0.08);
    // the largest square in a disc of 9 mm has sides of 9 √2
    expect(Math.abs(disc.sideMm - 9 * Math.SQRT2)).toBeLessThan(0.3);
    const sea = one.pieces.find(({ id }) => id === 'B1')!;
    const truth = [
      { x: 0, y: 18 },
      { x: 60, y: 36 },
      { x: 60, y: 40 },
      { x: 0, y: 40 },
    ];
    expect(sea.loops[0]!.length).toBeLessThan(8);
    expect(hausdorffMm(sea.loops[0]!, truth)).toBeLessThan(0.1);
  });

  test('cut from one sheet are a kerf apart, from sheets of their own they meet', () => {
    expect([one.gapMm, one.sheets]).toEqual([0.2, 1]);
    expect([two.gapMm, two.sheets]).toEqual([0, 2]);
    for (const { areaMm2, paths, id } of two.pieces) {
      const drawn = measurePaths(paths);
      const { left, right } = drawn.box;
      // a line half a kerf outside: area grows by half a kerf along the line (Steiner's formula, first order)
      const grown = drawn.areaMm2 - areaMm2;
      expect(Math.abs(grown - (0.2 / 2) * drawn.lengthMm)).toBeLessThan(0.02 * drawn.lengthMm * 0.2 + 0.1);
      if (id === 'C1') expect(right - left).toBeCloseTo(18.2, 0);
    }
  });

  test('are told where they are too small or too sharp', () => {
    const disc = one.pieces.find(({ id }) => id === 'C1')!;
    expect(codes(disc)).toEqual([]);
    expect(codes(one.pieces.find(({ id }) => id === 'B1')!)).toContain('sharp-corners');
    const small = jigsawOf(
      painted(20, 20, (x, y) => (Math.hypot(x - 10, y - 10) < 5 ? 1 : 0)),
      { ...wish, widthMm: 20, heightMm: 20, cut: 'one-sheet' },
    );
    // a disc of 10 mm holds a square of 7.1
    expect(codes(small.pieces[1]!)).toEqual(['piece-too-small']);
    expect(small.pieces[1]!.cautions[0]!.mm).toBeCloseTo(5 * Math.SQRT2, 0);
  });

  test('are told where a bridge is thin, and how thin: two discs joined by a bar of 1.2 mm', () => {
    const barbell = painted(60, 30, (x, y) =>
      Math.hypot(x - 15, y - 15) < 9 ||
      Math.hypot(x - 45, y - 15) < 9 ||
      (x > 15 && x < 45 && Math.abs(y - 15) < 0.6)
        ? 1
        : 0,
    );
    const { pieces } = jigsawOf(barbell, { ...wish, heightMm: 30, cut: 'one-sheet' });
    const bridge = pieces[1]!.cautions.find(({ code }) => code === 'thin-bridge')!;
    expect(Math.abs(bridge.mm - 1.2)).toBeLessThan(0.2);
    expect(Math.hypot(bridge.at.x - 30, bridge.at.y - 15)).toBeLessThan(1);
    // 2.6 mm hold
    const wide = painted(60, 30, (x, y) =>
      Math.hypot(x - 15, y - 15) < 9 ||
      Math.hypot(x - 45, y - 15) < 9 ||
      (x > 15 && x < 45 && Math.abs(y - 15) < 1.3)
        ? 1
        : 0,
    );
    expect(codes(jigsawOf(wide, { ...wish, heightMm: 30, cut: 'one-sheet' }).pieces[1]!)).not.toContain(
      'thin-bridge',
    );
  });

  test('have a map of their backs: every line of the cut, in a page with a margin', () => {
    const look = { widthMm: 60, heightMm: 40, facesMirrored: true, title: 'lighthouse' };
    const page = backMap(one.lines, one.pieces, look);
    expect(page.lines[0]!.strokes!.length).toBe(one.lines.length);
    for (const { x, y } of page.lines.flatMap(({ strokes }) => strokes!.flat())) {
      expect(x > 0 && x < page.widthMm && y > 0 && y < page.heightMm).toBe(true);
    }
  });
});

test('areas of pieces add up to the canvas for any picture, since neighbours share their lines', () => {
  const canvases = fc.array(fc.integer({ min: 0, max: 2 }), { minLength: 30, maxLength: 30 });
  fc.assert(
    fc.property(canvases, (cells) => {
      // blocks of 8 × 8 cells, so that there is something to make straight
      const data = Uint8Array.from({ length: 48 * 40 }, (_, at) => {
        const [x, y] = [at % 48, Math.floor(at / 48)];
        return cells[(y >> 3) * 6 + (x >> 3)]!;
      });
      const canvas = { widthPx: 48, heightPx: 40, data };
      const { pieces } = jigsawOf(canvas, { widthMm: 48, heightMm: 40, kerfMm: 0.2, cut: 'one-sheet' });
      expect(pieces.reduce((sum, { areaMm2 }) => sum + areaMm2, 0)).toBeCloseTo(48 * 40, 1);
      for (const [i, { areaPx }] of partitionOf(canvas).pieces.entries())
        expect(Math.abs(pieces[i]!.areaMm2 - areaPx)).toBeLessThan(0.15 * areaPx);
    }),
    { numRuns: 30, seed: 9 },
  );
});

test('no two pieces that share a border come from the same sheet', () => {
  const canvases = fc.uint8Array({ minLength: 64, maxLength: 64, max: 3 });
  fc.assert(
    fc.property(canvases, (data) => {
      const partition = partitionOf({ widthPx: 8, heightPx: 8, data });
      const borders = bordersOf(partition);
      const sheets = sheetsFor(borders, partition.pieces.length);
      for (const { left, right } of borders)
        if (left !== OUTSIDE && right !== OUTSIDE) expect(sheets[left]).not.toBe(sheets[right]);
    }),
    { numRuns: 50, seed: 9 },
  );
});

describe('a shape for chine-collé', () => {
  const moon = Array.from({ length: 400 }, (_, i) => ({
    x: 50 + 15 * Math.cos((i * Math.PI) / 200),
    y: 30 + 15 * Math.sin((i * Math.PI) / 200),
  }));
  const growth = 30 / 29.8 - 1;
  const shape = { loops: [moon], insetMm: 0, kerfMm: 0, face: 'up', canvasMm: 240 } as const;

  test('is cut so small that it has its size when damp: a moon of 30 mm dry is 29.8', () => {
    expect(dryMm(30, growth)).toBeCloseTo(29.8, 10);
    const dry = chineShape({ ...shape, wetGrowth: { x: growth, y: 0 } });
    expect(dry.widthMm).toBeCloseTo(29.8, 3);
    expect(dry.heightMm).toBeCloseTo(30, 3);
    const { box } = measurePaths(dry.paths);
    expect(box.right - box.left).toBeCloseTo(29.8, 1);
    expect((box.right + box.left) / 2).toBeCloseTo(50, 1);
  });

  test('stays inside the edge of its plate, with the kerf outside the line', () => {
    const wetGrowth = { x: 0, y: 0 };
    const inset = measurePaths(chineShape({ ...shape, wetGrowth, insetMm: 0.4 }).paths).box;
    expect(inset.right - inset.left).toBeCloseTo(29.2, 1);
    const kerf = measurePaths(chineShape({ ...shape, wetGrowth, insetMm: 0.4, kerfMm: 0.2 }).paths).box;
    expect(kerf.right - kerf.left).toBeCloseTo(29.4, 1);
    expect(() => chineShape({ ...shape, wetGrowth, insetMm: 16 })).toThrow(/leaves nothing/);
  });

  test('is cut as it is read with its face up, and mirrored with its face down', () => {
    const at = (face: 'up' | 'down'): number => {
      const { box } = measurePaths(chineShape({ ...shape, face, wetGrowth: { x: 0, y: 0 } }).paths);
      return (box.left + box.right) / 2;
    };
    expect(at('up')).toBeCloseTo(50, 1);
    expect(at('down')).toBeCloseTo(190, 1);
    // a plate shows its face mirrored
    expect([isCutMirrored('plate', 'up'), isCutMirrored('plate', 'down')]).toEqual([true, false]);
  });
});

describe('the page of a sheet', () => {
  const lies = { xMm: 3, yMm: 2, widthMm: 66, heightMm: 44, mirrored: false } as const;
  const linesOf = (sheet: number) => ({
    paths: two.pieces.filter((piece) => piece.sheet === sheet).flatMap(({ paths }) => paths),
    strokes: [],
  });

  test('has every border once where one sheet is cut, the canvas in a frame, where the picture lies on its plate', () => {
    const page = cutPage({ paths: [], strokes: one.lines }, lies);
    const strokes = page.lines[0]!.strokes!;
    expect(strokes.length).toBe(one.lines.length);
    const xs = strokes.flat().map(({ x }) => x);
    expect([Math.min(...xs), Math.max(...xs)]).toEqual([8, 68]);
    expect([page.widthMm, page.heightMm]).toEqual([76, 54]);
  });

  test('is mirrored if the plate is', () => {
    const { sheet } = two.pieces.find(({ id }) => id === 'C1')!;
    const disc = two.pieces.filter((piece) => piece.sheet === sheet).findIndex(({ id }) => id === 'C1');
    const middle = (mirrored: boolean): number => {
      const page = cutPage(linesOf(sheet), { ...lies, mirrored });
      const { box } = measurePaths([page.lines[0]!.paths[disc]!]);
      return (box.left + box.right) / 2;
    };
    // 40 mm from the left of the picture, 3 mm of border, 5 mm of margin
    expect(middle(false)).toBeCloseTo(48, 0);
    expect(middle(true)).toBeCloseTo(5 + 66 - 43, 0);
    // and so are lines that neighbours share: 5 mm of picture-free plate are then on the left, 1 on the right
    const strokes = cutPage({ paths: [], strokes: one.lines }, { ...lies, xMm: 1, mirrored: true }).lines[0]!
      .strokes!;
    const xs = strokes.flat().map(({ x }) => x);
    expect([Math.min(...xs), Math.max(...xs)]).toEqual([10, 70]);
  });
});
