import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { countBits, createBitmap, getBit } from '../../../src/core/bitmap.ts';
import type { BoxPx } from '../../../src/core/gang/contract.ts';
import { drawLabel, type LabelGround, placeLabels } from '../../../src/core/gang/labels.ts';
import { packMaxRects } from '../../../src/core/gang/maxrects.ts';

const DPI = 254; // ten pixels to the millimetre
const wish = (full: string, mirrored = true) => ({ full, short: full.slice(0, 2), mirrored });

const distance = (a: BoxPx, b: BoxPx): number =>
  Math.max(
    Math.max(a.xPx, b.xPx) - Math.min(a.xPx + a.widthPx, b.xPx + b.widthPx),
    Math.max(a.yPx, b.yPx) - Math.min(a.yPx + a.heightPx, b.yPx + b.heightPx),
  );

describe('ids in the waste', () => {
  test('stay on the sheet, off every plate by the clearance, and off each other; beside their own plate', () => {
    const sizes = fc.array(fc.tuple(fc.integer({ min: 20, max: 500 }), fc.integer({ min: 20, max: 500 })), {
      minLength: 1,
      maxLength: 12,
    });
    let placed = 0;
    void fc.assert(
      fc.property(
        sizes,
        fc.integer({ min: 0, max: 90 }),
        fc.integer({ min: 0, max: 90 }),
        (all, gutterPx, marginPx) => {
          const room = { widthPx: 900, heightPx: 700, gutterPx };
          const pieces = all.map(([widthPx, heightPx]) => ({ widthPx, heightPx }));
          const [places] = packMaxRects(pieces, null, room, 'area');
          const plates = places!.map(({ piece, xPx, yPx, turned }): BoxPx => {
            const { widthPx, heightPx } = pieces[piece]!;
            const size = turned ? { widthPx: heightPx, heightPx: widthPx } : { widthPx, heightPx };
            return { xPx: xPx + marginPx, yPx: yPx + marginPx, ...size };
          });
          const ground: LabelGround = {
            widthPx: room.widthPx + 2 * marginPx,
            heightPx: room.heightPx + 2 * marginPx,
            dpi: DPI,
            clearPx: 7,
          };
          const labels = placeLabels(
            plates,
            plates.map((_, i) => wish(`${i}x anna`)),
            ground,
          );
          expect(labels).toHaveLength(plates.length);
          const there = labels.flatMap((label) => (label ? [label] : []));
          for (const [i, label] of labels.entries()) {
            if (!label) continue;
            placed++;
            expect(Math.min(label.xPx, label.yPx)).toBeGreaterThanOrEqual(0);
            expect(label.xPx + label.widthPx).toBeLessThanOrEqual(ground.widthPx);
            expect(label.yPx + label.heightPx).toBeLessThanOrEqual(ground.heightPx);
            for (const plate of plates) expect(distance(label, plate)).toBeGreaterThanOrEqual(7);
            for (const other of there) if (other !== label) expect(distance(label, other)).toBeGreaterThan(0);
            expect(distance(label, plates[i]!)).toBe(7);
            expect(label.text.startsWith(`${i}x`)).toBe(true);
          }
          expect(new Set(there.map(({ capMm }) => capMm)).size).toBeLessThanOrEqual(1);
        },
      ),
      { seed: 11, numRuns: 150 },
    );
    expect(placed).toBeGreaterThan(100);
  });

  test('a gutter of 6 mm holds capitals of 3 mm, one of 3 mm smaller ones, one of 1 mm none', () => {
    const capFor = (gutterPx: number) => {
      const plates = [0, 1].map((i) => ({ xPx: 0, yPx: i * (200 + gutterPx), widthPx: 400, heightPx: 200 }));
      const ground = { widthPx: 400, heightPx: 400 + 2 * gutterPx, dpi: DPI, clearPx: 7 };
      return placeLabels(plates, [wish('01 anna'), wish('02 ben')], ground)[0]?.capMm ?? null;
    };
    expect(capFor(60)).toBe(3);
    expect(capFor(10)).toBeNull();
    const small = capFor(36)!;
    expect(small).toBeGreaterThanOrEqual(1.5);
    expect(small).toBeLessThan(3);
  });

  test('lettering is as high as it says, stays in its box, and a mirrored one is the other mirrored', () => {
    const ground = { widthPx: 500, heightPx: 300, dpi: DPI, clearPx: 7 };
    const plate = { xPx: 13, yPx: 20, widthPx: 450, heightPx: 200 };
    const draw = (mirrored: boolean) => {
      const [label] = placeLabels([plate], [wish('H7 LEFT', mirrored)], ground);
      const map = createBitmap(500, 300);
      drawLabel(map, label!, ground);
      return { map, label: label! };
    };
    const [as, turned] = [draw(false), draw(true)];
    expect(countBits(as.map.data)).toBeGreaterThan(200);
    expect(countBits(as.map.data)).toBe(countBits(turned.map.data));
    const { xPx, yPx, widthPx, heightPx, capMm } = as.label;
    let top = Number.POSITIVE_INFINITY;
    let bottom = 0;
    let outside = 0;
    let unlike = 0;
    for (let y = 0; y < 300; y++)
      for (let x = 0; x < 500; x++) {
        const bit = getBit(as.map, x, y);
        const inside = x >= xPx && x < xPx + widthPx && y >= yPx && y < yPx + heightPx;
        if (!inside) outside += bit | getBit(turned.map, x, y);
        else if (getBit(turned.map, 2 * xPx + widthPx - 1 - x, y) !== bit) unlike++;
        if (bit) [top, bottom] = [Math.min(top, y), Math.max(bottom, y)];
      }
    expect([outside, unlike]).toEqual([0, 0]);
    // capitals alone: their height and one pen, 3 mm and an eighth
    expect(bottom - top + 1).toBeGreaterThanOrEqual(capMm * 10 * 1.125 - 1);
    expect(bottom - top + 1).toBeLessThanOrEqual(capMm * 10 * 1.125 + 2);
  });
});
