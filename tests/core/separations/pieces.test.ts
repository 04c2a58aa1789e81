import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { getBit } from '../../../src/core/bitmap.ts';
import { textStrokes } from '../../../src/core/layout/strokefont.ts';
import type { OutlinePath, PointMm } from '../../../src/core/outlines/contract.ts';
import { measurePaths } from '../../../src/core/outlines/measure.ts';
import { areaMm2, holds, offset, type Polygons, polygonsOf } from '../../../src/core/outlines/polygons.ts';
import { backMap } from '../../../src/core/pieces/back-map.ts';
import { withoutCrumbs } from '../../../src/core/pieces/cells.ts';
import { CUT_MARGIN_MM, cutPage } from '../../../src/core/pieces/cut-page.ts';
import { partitionOf } from '../../../src/core/pieces/partition.ts';
import type { CutPlan, Labels, Shaped } from '../../../src/core/separations/contract.ts';
import { pieces } from '../../../src/core/separations/pieces.ts';
import { eachPixel, greys, patches } from './drawn.ts';

const runs = { seed: 12, numRuns: 30 };
const PX_PER_MM = 4;

interface Asked {
  readonly cutFrom: 'one-sheet' | 'own-sheets' | 'thin-paper';
  readonly kerfMm?: number;
  readonly smallestPieceMm?: number;
  readonly paperInsetMm?: number;
  readonly wetGrowthPercent?: readonly number[];
  readonly paperFace?: 'up' | 'down';
}

function shape(labels: Labels, { kerfMm = 0, ...asked }: Asked, inks = 3): Shaped & { cut: CutPlan } {
  const way = pieces.way(pieces.params.parse({ smallestPieceMm: 0, ...asked }));
  if (way.draws !== 'areas') throw new Error('areas wanted');
  const place = { pxPerMm: PX_PER_MM, inks: greys(inks), smallestPx: 0, kerfMm };
  const shaped = way.shape({ labels, asked: null }, place);
  return { ...shaped, cut: shaped.cut! };
}

/** Patches without bare paper. */
const inked = patches(2).map((labels) => ({ ...labels, data: labels.data.map((label) => label + 1) }));

/** Labels of a drawing in mm. */
function drawn(widthMm: number, heightMm: number, label: (x: number, y: number) => number): Labels {
  const [widthPx, heightPx] = [widthMm * PX_PER_MM, heightMm * PX_PER_MM];
  const data = new Uint8Array(widthPx * heightPx);
  eachPixel({ widthPx, heightPx }, (x, y, at) => {
    data[at] = label((x + 0.5) / PX_PER_MM, (y + 0.5) / PX_PER_MM);
  });
  return { widthPx, heightPx, data };
}

/** The polygon of drawn lines; they are straight enough here that ends of curves do. */
const polygonsIn = (
  paths: readonly OutlinePath[],
  moved: (point: PointMm) => PointMm = (point) => point,
): Polygons => polygonsOf(paths.map(({ segments }) => segments.map(({ to }) => moved(to))));

describe('pieces', () => {
  test('partition the canvas: every pixel is printed by exactly one piece of one sheet, in its own ink', () => {
    fc.assert(
      fc.property(inked, fc.constantFrom('one-sheet', 'own-sheets'), (labels, cutFrom) => {
        const { cut, plates } = shape(labels, { cutFrom });
        eachPixel(labels, (x, y, at) => {
          const printing = cut.laid.filter(({ map }) => getBit(map, x, y) === 1);
          expect(printing).toHaveLength(1);
          expect(getBit(plates[printing[0]!.plate!]!, x, y)).toBe(1);
          // borders are smoothed within 0.75 of a cell: a pixel among its own keeps its colour
          const own = labels.data[at]!;
          for (let dy = -1; dy <= 1; dy++)
            for (let dx = -1; dx <= 1; dx++) {
              const [nx, ny] = [x + dx, y + dy];
              const isIn = nx >= 0 && ny >= 0 && nx < labels.widthPx && ny < labels.heightPx;
              if (isIn && labels.data[ny * labels.widthPx + nx] !== own) return;
            }
          expect(printing[0]!.ink).toBe(own - 1);
        });
        const areaMm2 = cut.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0);
        expect(areaMm2).toBeCloseTo((labels.widthPx * labels.heightPx) / PX_PER_MM ** 2, 2);
      }),
      runs,
    );
  });

  test('with bare paper among them no pixel is printed twice, and what is bare is told as pieces too', () => {
    fc.assert(
      fc.property(patches(3), fc.constantFrom('one-sheet', 'own-sheets', 'thin-paper'), (labels, cutFrom) => {
        const { cut } = shape(labels, { cutFrom, paperInsetMm: 0 });
        eachPixel(labels, (x, y) => {
          expect(cut.laid.filter(({ map }) => getBit(map, x, y) === 1).length).toBeLessThan(2);
        });
        for (const { sheet, ink } of cut.pieces) {
          expect(cut.sheets[sheet]).toBeDefined();
          if (ink !== null) expect(cut.laid.some((one) => one.ink === ink)).toBe(true);
        }
      }),
      runs,
    );
  });

  test('cut from sheets of their own they are half a kerf larger all round, so that the beam leaves them whole; from one, a kerf apart', () => {
    const labels = drawn(60, 40, (x, y) => (x > 10 && x < 30 && y > 8 && y < 28 ? 2 : 1));
    const own = shape(labels, { cutFrom: 'own-sheets', kerfMm: 0.2 }).cut;
    const square = own.pieces.find(({ ink }) => ink === 1)!;
    const { box } = measurePaths(own.sheets[square.sheet]!.paths);
    expect([box.left, box.right, box.top, box.bottom].map((mm) => Number(mm.toFixed(2)))).toEqual([
      9.9, 30.1, 7.9, 28.1,
    ]);
    expect(areaMm2(offset(polygonsIn(own.sheets[square.sheet]!.paths), -0.1, 'mitred'))).toBeCloseTo(400, 1);
    const one = shape(labels, { cutFrom: 'one-sheet', kerfMm: 0.5 }).cut;
    expect(one.gapMm).toBe(0.5);
    expect(one.sheets.map(({ paths }) => paths)).toEqual([[]]);
    // a quarter of a millimetre is a pixel: the square loses one all round
    const printed = one.laid.find(({ ink }) => ink === 1)!.map;
    expect([getBit(printed, 40, 60), getBit(printed, 41, 60)]).toEqual([0, 1]);
  });

  test('that no hand can hold go to their neighbours, and nothing is left that is smaller', () => {
    fc.assert(
      fc.property(patches(3), fc.integer({ min: 1, max: 60 }), (labels, cells) => {
        const { canvas, pieces: count } = withoutCrumbs(labels, { cells, sidePx: 1 });
        const left = partitionOf(canvas).pieces;
        expect(left).toHaveLength(count);
        const areaPx = left.reduce((sum, piece) => sum + piece.areaPx, 0);
        expect(areaPx).toBe(labels.data.length);
        // a crumb stays only where no neighbour is larger
        const small = left.filter((piece) => piece.areaPx < cells);
        if (left.some((piece) => piece.areaPx >= cells)) expect(small).toEqual([]);
      }),
      runs,
    );
  });
});

describe('the map of the backs', () => {
  /** A piece as it lies on the machine, face up, and then turned over like the page of a book. */
  const turnedOver = (
    cut: CutPlan,
    piece: number,
    widthMm: number,
    heightMm: number,
    mirrored: boolean,
  ): Polygons => {
    const place = { xMm: 0, yMm: 0, widthMm, heightMm, mirrored };
    const { paths } = cutPage(cut.sheets[piece]!, place).lines[0]!;
    return polygonsIn(paths, ({ x, y }) => ({ x: widthMm - (x - CUT_MARGIN_MM), y: y - CUT_MARGIN_MM }));
  };

  test.each([true, false])(
    'has each number on its own piece when the plate is turned over, and readable (faces mirrored: %s)',
    (facesMirrored) => {
      // nothing of it is its own mirror image
      const labels = drawn(60, 40, (x, y) => (x < 14 ? 1 : y < 12 + 0.2 * x ? 2 : 3));
      const { cut } = shape(labels, { cutFrom: 'own-sheets' });
      expect(cut.pieces).toHaveLength(3);
      expect(cut.sheets).toHaveLength(3);
      const title = 'x';
      const look = { widthMm: 60, heightMm: 40, facesMirrored, title };
      const without = backMap([], [], look).lines[1]!.strokes!.length;
      for (const piece of cut.pieces) {
        const page = backMap([], [piece], look);
        const strokes = page.lines[1]!.strokes!.slice(0, -without || undefined);
        // the page has 10 mm of margin, and a head of 14 mm
        const marks = strokes.map((stroke) => stroke.map(({ x, y }) => ({ x: x - 10, y: y - 24 })));
        const back = turnedOver(cut, piece.sheet, 60, 40, facesMirrored);
        for (const { x, y } of marks.flat())
          expect(holds(back, { x: Math.round(x * 10_000), y: Math.round(y * 10_000) })).toBe(true);
        // the arrow points to the head of the print, and letters are moved, not mirrored
        expect(marks[0]![1]!.y).toBeLessThan(marks[0]![0]!.y);
        const [first] = textStrokes(piece.id, { xMm: 0, yMm: 0, heightMm: 1 });
        const letter = marks[2]!;
        const size = (letter[1]!.y - letter[0]!.y) / (first![1]!.yMm - first![0]!.yMm);
        expect(size).toBeGreaterThan(0);
        expect(letter[1]!.x - letter[0]!.x).toBeCloseTo(size * (first![1]!.xMm - first![0]!.xMm), 6);
      }
    },
  );
});

describe('thin papers', () => {
  const moon = drawn(60, 40, (x, y) => (Math.hypot(x - 20, y - 16) < 10 ? 1 : 0));

  test('are cut so small that they have their size when damp: wanted less the inset ÷ (1 + growth), and half a kerf around', () => {
    const asked = {
      cutFrom: 'thin-paper',
      paperInsetMm: 0.4,
      wetGrowthPercent: [2, 1],
      kerfMm: 0.2,
    } as const;
    const { cut, findings } = shape(moon, asked, 1);
    expect(findings).toEqual([]);
    const { box } = measurePaths(cut.sheets[0]!.paths);
    // the moon of 20 mm, drawn by pixels of 0.25 mm
    expect(Math.abs(box.right - box.left - (19.2 / 1.02 + 0.2))).toBeLessThan(0.1);
    expect(Math.abs(box.bottom - box.top - (19.2 / 1.01 + 0.2))).toBeLessThan(0.1);
    expect(cut.pieces[0]!.widthMm * 1.02).toBeCloseTo(19.2, 0);
    expect(cut.plates).toEqual([{ name: 'plate', ink: null }]);
  });

  test('lie as they are read with their face up, and mirrored with their face down', () => {
    const at = (paperFace: 'up' | 'down'): number => {
      const { box } = measurePaths(shape(moon, { cutFrom: 'thin-paper', paperFace }, 1).cut.sheets[0]!.paths);
      return (box.left + box.right) / 2;
    };
    expect(at('up')).toBeCloseTo(20, 0);
    expect(at('down')).toBeCloseTo(40, 0);
  });

  test('that the inset leaves nothing of are told, and growth that was not measured', () => {
    const { findings, cut } = shape(moon, { cutFrom: 'thin-paper', paperInsetMm: 12 }, 1);
    expect(cut.pieces).toEqual([]);
    expect(findings.map(({ code, count }) => [code, count])).toContainEqual(['paper-lost', 1]);
    expect(findings.map(({ code }) => code)).toContain('paper-dry');
  });
});

test('a picture that is no picture of flat areas is told before its borders are followed', () => {
  // a chequered pattern of 5 mm and no piece joined: 24 × 24 pieces
  const noise = drawn(120, 120, (x, y) => 1 + ((Math.floor(x / 5) + Math.floor(y / 5)) % 2));
  expect(() => shape(noise, { cutFrom: 'one-sheet' })).toThrow(
    /falls into 576 of them, and 400 are the most/,
  );
});
