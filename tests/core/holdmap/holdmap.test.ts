import { describe, expect, test } from 'vitest';
import { createBitmap } from '../../../src/core/bitmap.ts';
import { openHoldMap } from '../../../src/core/holdmap/holdmap.ts';
import { MARKS } from '../../../src/core/holdmap/marks.ts';
import { type Fault, layOut, wrapped } from '../../../src/core/holdmap/sheet.ts';
import { textWidthMm } from '../../../src/core/layout/strokefont.ts';
import { GLYPHS } from '../../../src/core/layout/strokefont-glyphs.ts';
import { openProof } from '../../../src/core/proof/proof.ts';
import { encodeSrgb } from '../../../src/core/srgb.ts';
import { holdWords } from '../../../src/report/hold-cautions.ts';

const place = (xMm: number, yMm: number, widthMm: number, heightMm: number) => ({
  xMm,
  yMm,
  widthMm,
  heightMm,
});
const fault = (found: boolean, ...places: Fault['places']): Fault => ({
  name: 'thin walls',
  text: '12 kept lines are thinner than 0.4 mm on the block, the thinnest 0.1 mm',
  found,
  places,
});
const faults = [
  fault(true, place(20, 10, 30, 20), place(70, 40, 0.05, 0.05)),
  fault(false),
  fault(true, place(20, 10, 30, 20), place(0, 0, 100, 60)),
  fault(true),
];

function map(ppi: number, found: readonly Fault[] = faults) {
  const pitchMm = 25.4 / 100;
  const plate = {
    map: createBitmap(394, 236),
    mirrored: false,
    pitchMm,
    spot: null,
    prints: 'etched' as const,
    squashMm: 0,
    poolMm: null,
    plateTone: 0,
  };
  const ink = { light: [0.5, 0.5, 0.5] as const, opaque: true };
  const paper = { light: [1, 1, 1] as const, marginMm: 0, plateMark: false };
  return openHoldMap(openProof([{ plate, ink }], paper, ppi), found);
}

// Okabe & Ito 2008, from memory
test('the colours are the eight of Okabe and Ito, each once, each with its own hatching', () => {
  const codes = MARKS.map(({ light }) => light.map((value) => Math.round(255 * encodeSrgb(value))).join(' '));
  expect([...codes].sort()).toEqual(
    [
      '0 0 0',
      '230 159 0',
      '86 180 233',
      '0 158 115',
      '240 228 66',
      '0 114 178',
      '213 94 0',
      '204 121 167',
    ].sort(),
  );
  const drawn = MARKS.map(({ hatch }) => {
    let pattern = '';
    for (let v = 0; v < 4; v += 0.13)
      for (let u = 0; u < 4; u += 0.13) pattern += hatch(u, v, 0.1) > 0.5 ? '#' : '.';
    return pattern;
  });
  expect(new Set(drawn).size).toBe(8);
});

describe('the sheet', () => {
  const sheet = layOut({ widthMm: 100, heightMm: 60 }, faults, 1);

  test('every place is framed where it lies, small ones widened about their middle', () => {
    const { xMm, yMm } = sheet.plate;
    const middles = sheet.frames
      .slice(0, 4)
      .map((frame) => [frame.xMm + frame.widthMm / 2 - xMm, frame.yMm + frame.heightMm / 2 - yMm]);
    for (const [x, y] of [
      [35, 20],
      [70.025, 40.025],
      [50, 30],
    ])
      expect(middles.some(([u, v]) => Math.hypot(u! - x!, v! - y!) < 1e-9)).toBe(true);
    for (const frame of sheet.frames)
      expect(Math.min(frame.widthMm, frame.heightMm)).toBeGreaterThanOrEqual(3);
  });

  test('labels of places do not hide each other, and stay on the sheet', () => {
    const labels = sheet.tags.slice(0, 4);
    for (const [i, a] of labels.entries()) {
      expect(a.xMm).toBeGreaterThanOrEqual(0);
      expect(a.yMm).toBeGreaterThanOrEqual(0);
      for (const b of labels.slice(i + 1)) {
        const apart =
          a.xMm + a.widthMm <= b.xMm ||
          b.xMm + b.widthMm <= a.xMm ||
          a.yMm + a.heightMm <= b.yMm ||
          b.yMm + b.heightMm <= a.yMm;
        expect(apart).toBe(true);
      }
    }
  });

  test('every kind found has its sample in the legend, a place or none; the others have not', () => {
    const legend = sheet.frames.filter(({ yMm }) => yMm > sheet.plate.yMm + sheet.plate.heightMm);
    expect(legend.map(({ mark }) => mark)).toEqual([0, 1, 2]);
  });

  test('no line of lettering leaves the sheet', () => {
    for (const stroke of sheet.lettering)
      for (const { xMm, yMm } of stroke) {
        expect(xMm).toBeGreaterThan(0);
        expect(xMm).toBeLessThan(sheet.widthMm);
        expect(yMm).toBeLessThan(sheet.heightMm);
      }
  });
});

test('text breaks between words, and none is lost', () => {
  const text = 'etched pools are wider than 0.8 mm, the widest 5 mm: open bite';
  const lines = wrapped(text, 2, 25);
  expect(lines.join(' ')).toBe(text);
  expect(lines.length).toBeGreaterThan(2);
  for (const line of lines) expect(textWidthMm(line, 2)).toBeLessThanOrEqual(25);
});

test('the font has every character that a check may speak in', () => {
  const found = { count: 1234, worst: 'under 0.01', limit: '0.8', share: '1.3 %' };
  for (const { text } of Object.values(holdWords))
    for (const count of [1, 1234])
      for (const letter of text({ ...found, count }).replaceAll(' ', ''))
        expect(GLYPHS, letter).toHaveProperty([letter]);
});

test('colours stand in the frames, in order, and the middle of a large one is left free', () => {
  const ppi = 200;
  const picture = map(ppi, [fault(true, place(20, 10, 30, 20))]);
  const sheet = layOut({ widthMm: 788 / (ppi / 25.4), heightMm: 472 / (ppi / 25.4) }, [fault(true)], 1);
  const at = (xMm: number, yMm: number): number[] => {
    const [x, y] = [xMm + sheet.plate.xMm, yMm + sheet.plate.yMm].map((mm) => Math.floor((mm * ppi) / 25.4));
    return [...picture.rows(y!, y! + 1).subarray(x! * 3, x! * 3 + 3)];
  };
  expect(at(19.7, 20)).toEqual([213, 94, 0]);
  expect(at(50.3, 20)).toEqual([213, 94, 0]);
  expect(at(35, 30.3)).toEqual([213, 94, 0]);
  expect(at(35, 20)).toEqual([255, 255, 255]);
});

test('any range of rows is the same as the whole, and a coarse map is larger for it', () => {
  const { heightPx, rows } = map(60);
  const whole = rows(0, heightPx);
  const parts = [
    [0, 33],
    [33, 34],
    [34, heightPx],
  ].map(([from, to]) => map(60).rows(from!, to!));
  expect(Buffer.compare(Buffer.concat(parts), whole)).toBe(0);
  expect(heightPx / 60).toBeGreaterThan(map(200).heightPx / 200);
});

test('any range of rows is the same as the whole, and words alone stand below the picture', () => {
  const { rows, heightPx, widthPx, wordsFromRow } = map(90);
  const whole = rows(0, heightPx);
  const parts = [
    [0, 7],
    [7, 100],
    [100, heightPx],
  ].map(([from, to]) => rows(from!, to!));
  expect(Buffer.compare(Buffer.concat(parts), whole)).toBe(0);
  // the plate is 60 mm high, with a margin around it
  expect(wordsFromRow! * (25.4 / 90)).toBeGreaterThan(60);
  const legend = map(90, [fault(false)]);
  const plain = legend.rows(0, legend.heightPx);
  const below = plain.subarray(legend.wordsFromRow! * widthPx * 3);
  for (let i = 0; i < below.length; i += 3) expect(below[i] === below[i + 1]).toBe(true);
});
