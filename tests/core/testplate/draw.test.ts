import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Bitmap, countBits, createBitmap, getBit } from '../../../src/core/bitmap.ts';
import { bayer } from '../../../src/core/screens/bayer.ts';
import type { ScreenDef } from '../../../src/core/screens/contract.ts';
import { arrangeTestPlate } from '../../../src/core/testplate/arrange.ts';
import { drawTestPlate, type TintScreen, testPlateInk } from '../../../src/core/testplate/draw.ts';
import { ladderPasses, passBits } from '../../../src/core/testplate/ladder.ts';
import type { BoxMm, TestPlateLayout } from '../../../src/core/testplate/layout.ts';
import { boxPx, fillBox, fillDisc, fillLeaning, fillStar } from '../../../src/core/testplate/raster.ts';
import { samplePlace } from '../../../src/core/testplate/samples.ts';
import { stripLayout } from '../../../src/core/testplate/strip.ts';
import { STRIP_BORDER_MM } from '../../../src/core/testplate/strip-size.ts';

const PX_PER_MM = 10;

/** The obvious way: every pixel is asked whether its centre is inside. */
function slowly(widthPx: number, heightPx: number, inside: (xMm: number, yMm: number) => boolean): Bitmap {
  const map = createBitmap(widthPx, heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++)
      if (inside((x + 0.5) / PX_PER_MM, (y + 0.5) / PX_PER_MM))
        map.data[y * map.strideBytes + (x >> 3)]! |= 0x80 >> (x & 7);
  return map;
}

const brush = () => ({ bitmap: createBitmap(61, 47), pxPerMm: PX_PER_MM });
// odd thousandths keep edges off the centres of pixels, where the last digit would decide
const mm = (from: number, to: number) =>
  fc.integer({ min: from * 100, max: to * 100 }).map((n) => n / 100 + 0.003);

describe('shapes', () => {
  it('take just the pixels whose centres they hold, cut off at the edge', () => {
    fc.assert(
      fc.property(mm(-1, 6), mm(-1, 5), mm(0, 4), mm(0, 4), (xMm, yMm, w, h) => {
        const box = { xMm, yMm, widthMm: w, heightMm: h };
        const boxed = brush();
        fillBox(boxed, box, 1);
        const inBox = (x: number, y: number): boolean => x > xMm && x < xMm + w && y > yMm && y < yMm + h;
        expect(boxed.bitmap.data).toEqual(slowly(61, 47, inBox).data);
        const round = brush();
        fillDisc(round, xMm, yMm, w, 1);
        expect(round.bitmap.data).toEqual(
          slowly(61, 47, (x, y) => Math.hypot(x - xMm, y - yMm) < w / 2).data,
        );
        const leaning = brush();
        fillLeaning(leaning, box, h / 2, 1);
        const inBand = (x: number, y: number): boolean => {
          const across = (x - xMm + (y - (yMm + h))) / Math.SQRT2;
          return y > yMm && y < yMm + h && across > 0 && across < h / 2;
        };
        expect(leaning.bitmap.data).toEqual(slowly(61, 47, inBand).data);
      }),
      { seed: 3, numRuns: 60 },
    );
  });

  it('give a star as much ink as paper', () => {
    const star = { bitmap: createBitmap(200, 200), pxPerMm: PX_PER_MM };
    fillStar(star, 10, 10, 18, 18);
    const share = countBits(star.bitmap.data) / (Math.PI * 90 * 90);
    expect(share).toBeCloseTo(0.5, 2);
  });
});

/** Screened by the Bayer matrix, whose tones are known: n of 64 pixels of every 8 × 8 (B. E. Bayer 1973). */
function plain(layout: TestPlateLayout): TintScreen {
  const def = bayer as unknown as ScreenDef;
  const params = def.params.parse({ matrix: 8 });
  const place = samplePlace(layout);
  return { def, params, place, tables: def.build?.(params, place), toneTable: null };
}

const shareIn = (map: Bitmap, box: BoxMm, pxPerMm: number): number => {
  const { fromX, toX, fromY, toY } = boxPx(box, pxPerMm);
  let ink = 0;
  for (let y = fromY; y < toY; y++) for (let x = fromX; x < toX; x++) ink += getBit(map, x, y);
  return ink / ((toX - fromX) * (toY - fromY));
};

// 254 dpi is ten pixels to the millimetre
describe.each(['relief', 'intaglio'] as const)('a drawn test plate in %s', (process) => {
  const layout = arrangeTestPlate({
    process,
    widthMm: 150,
    heightMm: 100,
    dpi: 254,
    spotMm: null,
    beam: null,
    screen: { kind: 'bayer', params: {} },
    capShare: 0.8,
    passes: [1, 2, 3, 4],
  });
  const map = testPlateInk(layout, plain(layout));

  it('is as large as it says', () => expect([map.widthPx, map.heightPx]).toEqual([1500, 1000]));

  it('shows every tone as asked', () => {
    for (const patch of layout.patches.filter(({ screen }) => screen === null))
      expect([patch.id, Math.abs(shareIn(map, patch, PX_PER_MM) - patch.share) < 0.02]).toEqual([
        patch.id,
        true,
      ]);
  });

  it('shows half tones of dots, and grains, about as dark as asked', () => {
    for (const patch of layout.patches.filter(({ screen }) => screen !== null))
      expect([patch.id, Math.abs(shareIn(map, patch, PX_PER_MM) - patch.share) < 0.1]).toEqual([
        patch.id,
        true,
      ]);
  });

  it('prints what its side of the process prints', () => {
    const prints = process === 'relief' ? 'kept' : 'etched';
    for (const feature of layout.features.filter(
      ({ shape, sizeMm }) => shape !== 'disc' && sizeMm >= 0.1 && shape !== 'bar',
    ))
      expect([feature.id, shareIn(map, feature, PX_PER_MM)]).toEqual([
        feature.id,
        feature.side === prints ? 1 : 0,
      ]);
    for (const bar of layout.features.filter(
      ({ zone, direction }) => zone === 'bars' && direction !== 'diagonal',
    )) {
      const { fromX, toX, fromY, toY } = boxPx(bar, PX_PER_MM);
      if (toX > fromX && toY > fromY)
        expect([bar.id, shareIn(map, bar, PX_PER_MM)]).toEqual([bar.id, bar.side === prints ? 1 : 0]);
    }
  });

  it('leaves paper bare, draws discs solid and the ring hollow', () => {
    for (const paper of layout.paperZones) expect(shareIn(map, paper, PX_PER_MM)).toBe(0);
    for (const { xMm, yMm, kind } of layout.fiducials)
      expect(getBit(map, Math.floor(xMm * 10), Math.floor(yMm * 10))).toBe(kind === 'solid' ? 1 : 0);
  });

  it('etches again, in a further pass, the areas of so many passes and no other', () => {
    const passes = ladderPasses(layout);
    expect(passes.map(({ pass, areas }) => [pass, areas.length])).toEqual([
      [2, 3],
      [3, 2],
      [4, 1],
    ]);
    const area = layout.ladder[0]!;
    for (const pass of passes) {
      const bits = passBits(layout, pass);
      expect([bits.widthPx, bits.heightPx]).toEqual([map.widthPx, map.heightPx]);
      expect(countBits(bits.data)).toBe(pass.areas.length * area.widthMm * area.heightMm * 100);
      for (const { passes: count, ...box } of layout.ladder)
        expect(shareIn(bits, box, PX_PER_MM)).toBe(count >= pass.pass ? 1 : 0);
    }
  });
});

describe('a control strip', () => {
  const wish = {
    process: 'intaglio' as const,
    widthMm: 80,
    heightMm: 60,
    dpi: 254,
    spotMm: null,
    beam: null,
    screen: { kind: 'bayer', params: {} },
    borderMm: STRIP_BORDER_MM,
    capShare: 0.8,
  };

  it('lies in the border, off the edge and off the picture', () => {
    for (const borderMm of [STRIP_BORDER_MM, 12, 20]) {
      const { strip } = stripLayout({ ...wish, borderMm })!;
      expect(strip!.yMm).toBeGreaterThanOrEqual(60 - borderMm + 1);
      expect(strip!.yMm + strip!.heightMm).toBeLessThanOrEqual(57);
    }
  });

  it('is left out where there is no room', () => {
    expect(stripLayout({ ...wish, borderMm: STRIP_BORDER_MM - 0.1 })).toBeNull();
    expect(stripLayout({ ...wish, widthMm: 30 })).toBeNull();
  });

  it('is drawn into what is there, and touches nothing else', () => {
    const layout = stripLayout(wish)!;
    const map = createBitmap(800, 600);
    drawTestPlate(map, layout, plain(layout));
    expect(layout.patches.map(({ share }) => share)).toEqual([0, 0.25, 0.5, 0.75, 0.8]);
    for (const patch of layout.patches)
      expect(Math.abs(shareIn(map, patch, PX_PER_MM) - patch.share)).toBeLessThan(0.03);
    const boxOf = ({ xMm, yMm, diameterMm: size }: TestPlateLayout['fiducials'][number]): BoxMm => ({
      xMm: xMm - size / 2,
      yMm: yMm - size / 2,
      widthMm: size,
      heightMm: size,
    });
    const drawn = [layout.strip!, ...layout.fiducials.map(boxOf)].map((box) =>
      Math.round(shareIn(map, box, PX_PER_MM) * box.widthMm * box.heightMm * PX_PER_MM ** 2),
    );
    expect(countBits(map.data)).toBe(drawn.reduce((a, b) => a + b));
  });
});
