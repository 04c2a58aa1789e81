import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as z from 'zod';
import { countBits, tailMask } from '../../src/core/bitmap.ts';
import type { AnyScreenDef, ScreenDef } from '../../src/core/screens/contract.ts';
import { screens } from '../../src/core/screens/index.ts';
import { type Drawing, flat, screened, toneRow } from '../core/screens/drive.ts';

const ORDER = ['cell', 'grain', 'dot', 'line', 'bluenoise', 'errordiffusion', 'bayer', 'threshold', 'none'];

interface Field {
  readonly description?: string;
  readonly default?: unknown;
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

const all = Object.entries<AnyScreenDef>(screens);
const ofMarks = all.flatMap(([kind, screen]): [string, ScreenDef][] =>
  screen.draws === 'bits' ? [[kind, screen]] : [],
);

describe.each(all)('%s', (kind, screen) => {
  test('declares itself', () => {
    expect(screen.kind).toBe(kind);
    expect(screen.summary).not.toBe('');
    const tones = screen.tones(screen.params.parse({}));
    expect(tones === null || tones >= 2).toBe(true);
  });

  test('every setting has a description and a default, and unknown settings are refused', () => {
    for (const [name, field] of Object.entries(fieldsOf(screen))) {
      expect(field.description, name).toBeTruthy();
      expect(field.default, name).toBeDefined();
    }
    expect(screen.params.safeParse({ neverASetting: 1 }).success).toBe(false);
  });
});

test('what keeps the tone is told in 8 bits, and is nothing for line art', () => {
  const ofTone = all.flatMap(([, screen]) => (screen.draws === 'tone' ? [screen] : []));
  expect(ofTone.length).toBeGreaterThan(0);
  for (const screen of ofTone) {
    expect(screen.tones(screen.params.parse({}))).toBe(256);
    expect(screen.forLineArt).toBe(false);
  }
});

describe.each(ofMarks)('%s', (_kind, screen) => {
  test('starts a whole number of rows early', () => {
    expect(Number.isInteger(screen.leadInRows) && screen.leadInRows >= 0).toBe(true);
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
        const row = screen.open(screen.params.parse({}), {
          widthPx,
          etchedSide: 'ink',
          firstRow: 0,
          plate: 0,
          pxPerMm: 20,
        });
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
    screen.open(screen.params.parse({}), {
      widthPx: 50,
      etchedSide: 'ink',
      firstRow: 0,
      plate: 0,
      pxPerMm: 20,
    })(tone, 0, new Uint8Array(7), 0);
    expect(tone).toEqual(before);
  });

  test('draws the same again, and in any order of bands', () => {
    const drawing = mixed(77, 60);
    const hash = (bottomUp: boolean): string =>
      createHash('sha256')
        .update(screened(screen, drawing, {}, { bandRows: 16, bottomUp }).data)
        .digest('hex');
    expect(hash(false)).toBe(hash(false));
    expect(hash(true)).toBe(hash(false));
  });

  test('one opened run draws the same rows wherever they are written', () => {
    const drawing = mixed(45, 23);
    const whole = screened(screen, drawing);
    const law = fc.property(fc.integer({ min: 1, max: 7 }), (stripRows) => {
      const row = screen.open(screen.params.parse({}), {
        widthPx: 45,
        etchedSide: 'ink',
        firstRow: -screen.leadInRows,
        plate: 0,
        pxPerMm: 500 / 25.4,
      });
      const strip = new Uint8Array(stripRows * whole.strideBytes);
      for (let y = -screen.leadInRows; y < 0; y++) row(toneRow(drawing, y), y, strip, 0);
      for (let top = 0; top < 23; top += stripRows) {
        const rows = Math.min(stripRows, 23 - top);
        for (let i = 0; i < rows; i++) row(toneRow(drawing, top + i), top + i, strip, i * whole.strideBytes);
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
    expect(Math.abs(share - 0.4)).toBeLessThan(0.01);
  });
});
