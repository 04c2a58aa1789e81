import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { countBits, createBitmap, getBit } from '../../../src/core/bitmap.ts';
import { EtchError } from '../../../src/core/errors.ts';
import { MM_PER_INCH, pxFor } from '../../../src/core/geometry.ts';
import { finishRows, type Inset } from '../../../src/core/plate.ts';
import { processes } from '../../../src/core/processes/index.ts';
import { DIVISION_MM, LINES_PER_SIDE } from '../../../src/core/register/aids/crosses.ts';
import type { AidDef, RegisterPlace } from '../../../src/core/register/contract.ts';
import { type AidKind, aids } from '../../../src/core/register/index.ts';
import { noteInset, registerInsets, registerShelf } from '../../../src/core/register/insets.ts';
import { stretchedMm } from '../../../src/core/register/stretch.ts';

const kinds = Object.keys(aids) as AidKind[];
const canvas: RegisterPlace = {
  widthMm: 150,
  heightMm: 110,
  borderMm: 16,
  dpi: 400,
  process: processes.relief,
  lineMm: 0.3,
  stretch: { x: 0, y: 0 },
};

const codeOf = (draw: () => unknown): string | null => {
  try {
    draw();
    return null;
  } catch (error) {
    if (!(error instanceof EtchError)) throw error;
    expect(error.message).not.toMatch(/undefined|NaN/);
    expect(error.hint.length).toBeGreaterThan(10);
    return error.code;
  }
};

/** Where on the print, in mm, the middles of an inset's inked pixels lie; in a row or column of its own. */
function inkedMm({ xPx, yPx, etch }: Inset, place: RegisterPlace): { x: number; y: number }[] {
  const ink = place.process.etches === 'ink' ? 1 : 0;
  const pxPerMm = place.dpi / MM_PER_INCH;
  const found: { x: number; y: number }[] = [];
  for (let y = 0; y < etch.heightPx; y++)
    for (let x = 0; x < etch.widthPx; x++)
      if (getBit(etch, x, y) === ink)
        found.push({
          x: ((xPx + x + 0.5) / pxPerMm) * (1 - place.stretch.x),
          y: ((yPx + y + 0.5) / pxPerMm) * (1 - place.stretch.y),
        });
  return found;
}

const places = fc
  .record({
    kind: fc.constantFrom(...kinds),
    widthMm: fc.double({ min: 20, max: 300, noNaN: true }),
    heightMm: fc.double({ min: 20, max: 300, noNaN: true }),
    moreMm: fc.double({ min: 0, max: 8, noNaN: true }),
    lineMm: fc.constantFrom(0.1, 0.2, 0.4),
    dpi: fc.constantFrom(200, 333),
    x: fc.double({ min: -0.01, max: 0.03, noNaN: true }),
    y: fc.double({ min: -0.01, max: 0.03, noNaN: true }),
    process: fc.constantFrom(processes.relief, processes.intaglio),
  })
  .map(({ kind, moreMm, x, y, lineMm, ...rest }) => {
    const { borderMm, shortSideMm, longSideMm } = (aids[kind] as AidDef).room(lineMm);
    const place = { ...rest, lineMm, borderMm: borderMm + moreMm, stretch: { x, y } };
    const least = Math.max(shortSideMm, 2 * place.borderMm + 5);
    const widthMm = Math.max(place.widthMm, longSideMm, least);
    return { kind, place: { ...place, widthMm, heightMm: Math.max(place.heightMm, least) } };
  })
  .filter(({ kind, place }) => (aids[kind] as AidDef).matrices.includes(place.process.matrix));

test('every aid that has its room lies in the waste of any canvas, and none of its marks on another', () => {
  fc.assert(
    fc.property(places, fc.constantFrom('first' as const, 'second' as const), ({ kind, place }, side) => {
      const width = pxFor(stretchedMm(place.widthMm, place.stretch.x), place.dpi);
      const height = pxFor(stretchedMm(place.heightMm, place.stretch.y), place.dpi);
      const insets = registerInsets(kind, place, side);
      expect(insets.length).toBeGreaterThan(0);
      const pxPerMm = place.dpi / MM_PER_INCH;
      const inner = {
        left: Math.floor(stretchedMm(place.borderMm, place.stretch.x) * pxPerMm),
        right: Math.ceil(stretchedMm(place.widthMm - place.borderMm, place.stretch.x) * pxPerMm),
        top: Math.floor(stretchedMm(place.borderMm, place.stretch.y) * pxPerMm),
        bottom: Math.ceil(stretchedMm(place.heightMm - place.borderMm, place.stretch.y) * pxPerMm),
      };
      for (const { xPx, yPx, etch } of [...insets, ...registerShelf(kind, place)]) {
        expect(xPx).toBeGreaterThanOrEqual(0);
        expect(yPx).toBeGreaterThanOrEqual(0);
        expect(xPx + etch.widthPx).toBeLessThanOrEqual(width + 1);
        expect(yPx + etch.heightPx).toBeLessThanOrEqual(height + 1);
        const apart =
          xPx + etch.widthPx <= inner.left ||
          xPx >= inner.right ||
          yPx + etch.heightPx <= inner.top ||
          yPx >= inner.bottom;
        expect(apart).toBe(true);
      }
    }),
    { numRuns: 150, seed: 9 },
  );
});

test('a stretched plate has its marks where they were, once the print has shrunk', () => {
  for (const kind of kinds) {
    const plain = registerInsets(kind, canvas, 'first');
    const place = { ...canvas, stretch: { x: 0.015, y: 0.004 } };
    const pixelMm = MM_PER_INCH / canvas.dpi;
    for (const [i, inset] of registerInsets(kind, place, 'first').entries()) {
      const [here, there] = [inkedMm(plain[i]!, canvas), inkedMm(inset, place)];
      for (const axis of ['x', 'y'] as const)
        for (const end of [Math.min, Math.max]) {
          const extreme = (points: typeof here): number =>
            points.reduce((sum, point) => end(sum, point[axis]), points[0]![axis]);
          expect(Math.abs(extreme(here) - extreme(there))).toBeLessThan(1.5 * pixelMm);
        }
    }
  }
});

describe('the crosses', () => {
  test('lie at the same places on every plate, and only the verniers differ', () => {
    const first = registerInsets('crosses', canvas, 'first');
    const second = registerInsets('crosses', canvas, 'second');
    const same = first.filter(({ xPx, yPx, etch }, i) => {
      const other = second[i]!;
      return xPx === other.xPx && yPx === other.yPx && Buffer.compare(etch.data, other.etch.data) === 0;
    });
    expect(first.length).toBe(12);
    expect(same.length).toBe(4);
  });

  test('have arms of 6 mm and lines as wide as asked for', () => {
    const [left] = registerInsets('crosses', canvas, 'first');
    const ink = inkedMm(left!, canvas);
    const span = (axis: 'x' | 'y'): number =>
      Math.max(...ink.map((point) => point[axis])) - Math.min(...ink.map((point) => point[axis]));
    const pixelMm = MM_PER_INCH / canvas.dpi;
    expect(Math.abs(span('x') + pixelMm - 12.3)).toBeLessThan(2 * pixelMm);
    expect(Math.abs(span('y') + pixelMm - 12.3)).toBeLessThan(2 * pixelMm);
    // two bars of 12.3 × 0.3 mm with round ends, less what they share
    const areaMm2 = ink.length * pixelMm * pixelMm;
    expect(Math.abs(areaMm2 - (2 * (12 * 0.3 + Math.PI * 0.15 ** 2) - 0.09))).toBeLessThan(0.4);
  });

  test('read every tenth of a millimetre by just one line, as a sliding calliper does', () => {
    for (let tenths = -9; tenths <= 9; tenths++) {
      const meets: number[] = [];
      for (let k = -LINES_PER_SIDE; k <= LINES_PER_SIDE; k++)
        for (let m = -2 * LINES_PER_SIDE; m <= 2 * LINES_PER_SIDE; m++)
          if (Math.abs(m * DIVISION_MM.first - (k * DIVISION_MM.second + tenths / 10)) < 1e-9) meets.push(k);
      // at half a millimetre both ends meet a line
      expect(meets.map((k) => ((k % 10) + 10) % 10)).toEqual(
        Array.from(
          { length: tenths % 10 === 5 || tenths % 10 === -5 ? 2 : 1 },
          () => ((tenths % 10) + 10) % 10,
        ),
      );
    }
  });

  test('print on a block by what is kept, and on a plate by what is etched', () => {
    const block = registerInsets('crosses', canvas, 'first');
    const plate = registerInsets('crosses', { ...canvas, process: processes.intaglio }, 'first');
    for (const [i, { etch }] of plate.entries())
      expect(countBits(etch.data)).toBe(etch.widthPx * etch.heightPx - countBits(block[i]!.etch.data));
  });
});

describe('the kento', () => {
  const { boxes } = (aids.kento as AidDef).shelf(canvas)!;

  test('has arms of 15 to 25 mm and a stop of 30 to 50 mm about two thirds along', () => {
    const [along, up, stop] = boxes;
    expect(along!.widthMm).toBe(20);
    expect(up!.heightMm).toBe(20);
    expect(stop!.widthMm).toBe(40);
    const middle = stop!.xMm + stop!.widthMm / 2;
    expect(Math.abs(middle / canvas.widthMm - 2 / 3)).toBeLessThan(0.03);
    // one straight edge of paper lies in both
    expect(along!.yMm + along!.heightMm).toBeCloseTo(stop!.yMm + stop!.heightMm, 10);
    expect(up!.yMm + up!.heightMm).toBeCloseTo(along!.yMm + along!.heightMm, 10);
    expect(up!.xMm).toBe(along!.xMm);
  });

  test('has every shelf on ground that is kept, with a wall outside', () => {
    const pads = registerInsets('kento', canvas, 'first');
    for (const [i, shelf] of registerShelf('kento', canvas).entries()) {
      const pad = pads[i]!;
      expect(countBits(pad.etch.data)).toBe(0);
      expect(shelf.xPx).toBeGreaterThanOrEqual(pad.xPx);
      expect(shelf.yPx).toBeGreaterThanOrEqual(pad.yPx);
      expect(shelf.yPx + shelf.etch.heightPx).toBeLessThan(pad.yPx + pad.etch.heightPx);
    }
  });

  test('is for blocks alone', () => {
    const place = { ...canvas, process: processes.intaglio };
    expect(codeOf(() => registerInsets('kento', place, 'first'))).toBe('register-other-matrix');
    expect(codeOf(() => registerShelf('kento', place))).toBe('register-other-matrix');
  });
});

test('pins are apart as filing holes are (ISO 838: 80 mm, 6 mm wide, 12 mm in)', () => {
  const [, ...holes] = (aids.pins as AidDef).cut(canvas);
  const [one, two] = holes.map((hole) => {
    const xs = hole.map(({ x }) => x);
    const ys = hole.map(({ y }) => y);
    const [left, right] = [Math.min(...xs), Math.max(...xs)];
    return { middle: (left + right) / 2, width: right - left, down: (Math.min(...ys) + Math.max(...ys)) / 2 };
  });
  expect(two!.middle - one!.middle).toBeCloseTo(80, 6);
  expect(one!.width).toBeCloseTo(6, 2);
  expect(one!.down).toBeCloseTo(12, 2);
});

test('an aid without its room says how much it needs', () => {
  for (const kind of kinds) {
    const { borderMm } = (aids[kind] as AidDef).room(canvas.lineMm);
    expect(codeOf(() => registerInsets(kind, { ...canvas, borderMm }, 'first'))).toBeNull();
    expect(codeOf(() => registerInsets(kind, { ...canvas, borderMm: borderMm - 0.1 }, 'first'))).toBe(
      'register-has-no-room',
    );
  }
  expect(codeOf(() => registerInsets('crosses', { ...canvas, heightMm: 30 }, 'first'))).toBe(
    'register-has-no-room',
  );
  expect(codeOf(() => registerInsets('kento', { ...canvas, widthMm: 80, heightMm: 70 }, 'first'))).toBe(
    'register-has-no-room',
  );
  expect(codeOf(() => registerInsets('crosses', { ...canvas, lineMm: 0.5 }, 'first'))).toBe(
    'register-line-too-wide',
  );
});

test('the marks come through the finishing of a plate, mirrored with it', () => {
  const waste = registerInsets('crosses', canvas, 'first');
  const [widthPx, heightPx] = [pxFor(canvas.widthMm, canvas.dpi), pxFor(canvas.heightMm, canvas.dpi)];
  const borderPx = pxFor(canvas.borderMm, canvas.dpi);
  const plate = createBitmap(widthPx, heightPx);
  const box = {
    xPx: borderPx,
    yPx: borderPx,
    widthPx: widthPx - 2 * borderPx,
    heightPx: heightPx - 2 * borderPx,
  };
  finishRows(plate, { etches: 'paper', border: 'etched', box, mirror: true, waste }, 0, heightPx);
  const kept = waste.reduce((sum, { etch }) => sum + etch.widthPx * etch.heightPx - countBits(etch.data), 0);
  expect(widthPx * heightPx - countBits(plate.data)).toBe(kept);
  const [{ xPx, yPx, etch }] = waste as [Inset];
  expect(getBit(plate, widthPx - 1 - xPx - (etch.widthPx >> 1), yPx + (etch.heightPx >> 1))).toBe(0);
});

describe('a note in the waste', () => {
  test('is lettering with an arrow, inside the border, in ink', () => {
    const note = noteInset('night-ferry A1 B1', canvas)!;
    const ink = inkedMm(note, canvas);
    expect(ink.length).toBeGreaterThan(500);
    expect(Math.max(...ink.map(({ y }) => y))).toBeLessThan(canvas.borderMm - 0.9);
    expect(Math.min(...ink.map(({ y }) => y))).toBeGreaterThan(0.9);
    expect(Math.max(...ink.map(({ x }) => x))).toBeLessThan(canvas.widthMm - 2);
  });

  test('is left out where it would be too small to read', () => {
    expect(noteInset('night-ferry', { ...canvas, borderMm: 3 })).toBeNull();
    expect(noteInset('night-ferry '.repeat(20), canvas)).toBeNull();
  });
});
