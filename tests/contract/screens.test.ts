import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as z from 'zod';
import { countBits, tailMask } from '../../src/core/bitmap.ts';
import { type AnyScreenDef, frameOf, type ScreenDef } from '../../src/core/screens/contract.ts';
import { screens } from '../../src/core/screens/index.ts';
import { type Drawing, flat, opener, placeOf, screened, settled, toneRow } from '../core/screens/drive.ts';

const ORDER = ['cell', 'grain', 'dot', 'line', 'bluenoise', 'errordiffusion', 'bayer', 'threshold', 'none'];

interface Field {
  readonly description?: string;
  readonly default?: unknown;
  readonly unlessGiven?: string;
  readonly unit?: string;
}
const fieldsOf = (screen: AnyScreenDef): Record<string, Field> =>
  (z.toJSONSchema(screen.params, { io: 'input' }).properties ?? {}) as Record<string, Field>;

/** A drawing with every kind of tone: paper, solids, steps, a slope and single pixels. */
const mixed = (widthPx: number, heightPx: number): Drawing => ({
  widthPx,
  heightPx,
  toneAt: (x, y) => {
    if (y % 11 === 3) return 0;
    if (y % 13 === 5) return 65535;
    return (x * 911 + y * 3571 + (x % 7 === 0 ? 30000 : 0)) % 65536;
  },
});

test('screens are listed in the order shown to people', () => {
  const kinds = Object.keys(screens);
  expect(kinds).toEqual(ORDER.filter((kind) => kinds.includes(kind)));
  expect(kinds.filter((kind) => !ORDER.includes(kind))).toEqual([]);
});

test('a setting of two screens is one setting: same type, range, unit and default', () => {
  const seen: Record<string, Field> = {};
  for (const screen of Object.values<AnyScreenDef>(screens))
    for (const [name, field] of Object.entries(fieldsOf(screen))) {
      seen[name] ??= field;
      expect(field).toEqual(seen[name]);
    }
});

const tonesOf = (screen: AnyScreenDef): number | null =>
  screen.tones(screen.draws === 'bits' ? settled(screen) : screen.params.parse({}), placeOf());

const all = Object.entries<AnyScreenDef>(screens);
const ofMarks = all.flatMap(([kind, screen]): [string, ScreenDef][] =>
  screen.draws === 'bits' ? [[kind, screen]] : [],
);

describe.each(all)('%s', (kind, screen) => {
  test('declares itself', () => {
    expect(screen.kind).toBe(kind);
    expect(screen.summary).not.toBe('');
    const tones = tonesOf(screen);
    expect(tones === null || tones >= 2).toBe(true);
  });

  test('every setting has a description and a default or says what decides, and unknown settings are refused', () => {
    for (const [name, field] of Object.entries(fieldsOf(screen))) {
      expect(field.description, name).toBeTruthy();
      expect(field.default ?? field.unlessGiven, name).toBeDefined();
    }
    expect(screen.params.safeParse({ neverASetting: 1 }).success).toBe(false);
  });
});

test('what keeps the tone is told in 8 bits, and is nothing for line art', () => {
  const ofTone = all.flatMap(([, screen]) => (screen.draws === 'tone' ? [screen] : []));
  expect(ofTone.length).toBeGreaterThan(0);
  for (const screen of ofTone) {
    expect(tonesOf(screen)).toBe(256);
    expect(screen.forLineArt).toBe(false);
  }
});

describe.each(ofMarks)('%s', (_kind, screen) => {
  test('starts a whole number of rows early', () => {
    const { leadInRows, delayRows, stepRows } = frameOf(screen, settled(screen), placeOf());
    for (const rows of [leadInRows, delayRows, stepRows - 1])
      expect(Number.isInteger(rows) && rows >= 0).toBe(true);
    expect(leadInRows % stepRows).toBe(0);
  });

  test.each([1, 7, 8, 9, 64, 101])('paper gets no dot and a solid no hole, %d px wide', (widthPx) => {
    expect(countBits(screened(screen, flat(0, widthPx, 20)).data)).toBe(0);
    expect(countBits(screened(screen, flat(65535, widthPx, 20)).data)).toBe(widthPx * 20);
  });

  test('writes every byte of its row and none beside it, padding 0', () => {
    for (let widthPx = 1; widthPx <= 33; widthPx++) {
      const drawing = mixed(widthPx, 9);
      const stride = (widthPx + 7) >> 3;
      const results = [0x00, 0xff].map((before) => {
        const row = opener(screen, widthPx)(0);
        return Array.from({ length: 9 }, (_, y) => {
          const bytes = new Uint8Array(stride + 4).fill(before);
          row(toneRow(drawing, y), y, bytes, 2);
          expect([bytes[0], bytes[1], bytes[stride + 2], bytes[stride + 3]]).toEqual(
            new Array(4).fill(before),
          );
          expect(bytes[stride + 1]! & ~tailMask(widthPx)).toBe(0);
          return [...bytes.subarray(2, stride + 2)];
        });
      });
      expect(results[0]).toEqual(results[1]);
    }
  });

  test('leaves the tone row as it was', () => {
    const tone = toneRow(mixed(50, 1), 0);
    const before = tone.slice();
    opener(screen, 50)(0)(tone, 0, new Uint8Array(7), 0);
    expect(tone).toEqual(before);
  });

  test('draws the same again, and in any order of bands', () => {
    const drawing = mixed(77, 60);
    const { stepRows } = frameOf(screen, settled(screen), placeOf());
    const bandRows = Math.ceil(16 / stepRows) * stepRows;
    const hash = (bottomUp: boolean): string =>
      createHash('sha256')
        .update(screened(screen, drawing, {}, { bandRows, bottomUp }).data)
        .digest('hex');
    expect(hash(false)).toBe(hash(false));
    expect(hash(true)).toBe(hash(false));
  });

  test('one opened run draws the same rows wherever they are written', () => {
    const drawing = mixed(45, 23);
    const whole = screened(screen, drawing);
    const { leadInRows, delayRows } = frameOf(screen, settled(screen), placeOf());
    const law = fc.property(fc.integer({ min: 1, max: 7 }), (stripRows) => {
      const row = opener(screen, 45, {}, placeOf(), 23)(-leadInRows);
      const strip = new Uint8Array(stripRows * whole.strideBytes);
      const next = (y: number, at: number): void => row(toneRow(drawing, y), y, strip, at);
      for (let y = -leadInRows; y < delayRows; y++) next(y, 0);
      for (let top = 0; top < 23; top += stripRows) {
        const rows = Math.min(stripRows, 23 - top);
        for (let i = 0; i < rows; i++) next(top + i + delayRows, i * whole.strideBytes);
        expect(strip.subarray(0, rows * whole.strideBytes)).toEqual(
          whole.data.subarray(top * whole.strideBytes, (top + rows) * whole.strideBytes),
        );
      }
    });
    fc.assert(law, { seed: 1, numRuns: 7 });
  });

  test('holds a middle tone on a 128 px patch', () => {
    if (screen.forLineArt) return;
    const share = countBits(screened(screen, flat(26214, 128)).data) / 128 ** 2;
    // a step where there are few, of which some may not hold
    const steps = (tonesOf(screen) ?? 100) - 1;
    expect(Math.abs(share - 0.4)).toBeLessThan(Math.max(0.01, 1 / steps));
  });
});
