import { describe, expect, test } from 'vitest';
import { createBitmap } from '../../../src/core/bitmap.ts';
import { openHoldMap } from '../../../src/core/holdmap/holdmap.ts';
import { MARKS } from '../../../src/core/holdmap/marks.ts';
import { type Fault, layOut, wrapped } from '../../../src/core/holdmap/sheet.ts';
import { textWidthMm } from '../../../src/core/layout/strokefont.ts';
import { GLYPHS } from '../../../src/core/layout/strokefont-glyphs.ts';
import { openProof, rowsOf } from '../../../src/core/proof/proof.ts';
import { NO_STRETCH } from '../../../src/core/register/stretch.ts';
import { encodeSrgb } from '../../../src/core/srgb.ts';
import { holdWords } from '../../../src/report/cautions/hold.ts';

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

function map(ppi: number, found: readonly Fault[] = faults, enlarged: number | null = null) {
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
    stretch: NO_STRETCH,
  };
  const ink = { light: [0.5, 0.5, 0.5] as const, opaque: true };
  const paper = { light: [1, 1, 1] as const, marginMm: 0, plateMark: false };
  return openHoldMap(openProof([{ plate, ink }], paper, ppi), found, enlarged);
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
    const us = Float64Array.from({ length: 31 }, (_, i) => 0.13 * i);
    const shares = new Float64Array(us.length);
    for (let v = 0; v < 4; v += 0.13) {
      hatch(us, v, 0.1, us.length, shares);
      for (const share of shares) pattern += share > 0.5 ? '#' : '.';
    }
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

test('no two checks have one name', () => {
  const names = Object.values(holdWords).map(({ name }) => name);
  expect(new Set(names).size).toBe(names.length);
});

test('the font has every character that a check may speak in', () => {
  const found = { count: 1234, worst: 'under 0.01', limit: '0.8', share: '1.3 %' };
  for (const { name, text } of Object.values(holdWords))
    for (const count of [1, 1234])
      for (const letter of `${name}${text({ ...found, count })}`.replaceAll(' ', ''))
        expect(GLYPHS, letter).toHaveProperty([letter]);
});

test('colours stand in the frames, in order, and the middle of a large one is left free', () => {
  const ppi = 200;
  const picture = map(ppi, [fault(true, place(20, 10, 30, 20))]);
  const sheet = layOut({ widthMm: 788 / (ppi / 25.4), heightMm: 472 / (ppi / 25.4) }, [fault(true)], 1);
  const at = (xMm: number, yMm: number): number[] => {
    const [x, y] = [xMm + sheet.plate.xMm, yMm + sheet.plate.yMm].map((mm) => Math.floor((mm * ppi) / 25.4));
    return [...rowsOf(picture, y!, y! + 1).subarray(x! * 3, x! * 3 + 3)];
  };
  expect(at(19.7, 20)).toEqual([213, 94, 0]);
  expect(at(50.3, 20)).toEqual([213, 94, 0]);
  expect(at(35, 30.3)).toEqual([213, 94, 0]);
  expect(at(35, 20)).toEqual([255, 255, 255]);
});

test('any range of rows is the same as the whole, and a coarse map is larger for it', () => {
  const { heightPx } = map(60);
  const whole = rowsOf(map(60), 0, heightPx);
  const parts = [
    [0, 33],
    [33, 34],
    [34, heightPx],
  ].map(([from, to]) => rowsOf(map(60), from!, to!));
  expect(Buffer.compare(Buffer.concat(parts), whole)).toBe(0);
  expect(heightPx / 60).toBeGreaterThan(map(200).heightPx / 200);
});

describe('a map that is shown small', () => {
  test('has larger marks and no words: the plate and room for a label', () => {
    const sheet = layOut({ widthMm: 100, heightMm: 60 }, faults, 2, false);
    expect(sheet.tags).toHaveLength(4);
    expect(sheet.frames).toHaveLength(4);
    for (const { heightMm } of sheet.tags)
      expect(heightMm).toBeCloseTo(2 * layOut(sheet.plate, faults, 1).tags[0]!.heightMm, 9);
    expect(sheet.widthMm - 100).toBeCloseTo(sheet.heightMm - 60, 9);
    expect((sheet.heightMm - 60) / 2).toBeGreaterThan(sheet.tags[0]!.heightMm);
    const small = map(100, faults, 2);
    expect(Math.abs(small.heightPx - (sheet.heightMm * 100) / 25.4)).toBeLessThanOrEqual(1);
  });
});

test('a label that finds no room at its frame is joined to it by a line', () => {
  // a plate of 3 × 2 mm with four kinds of faults at one place
  const crowd = Array.from({ length: 4 }, () => fault(true, ...Array(5).fill(place(1, 1, 0.2, 0.2))));
  const { tags, frames, lettering, plate } = layOut({ widthMm: 3, heightMm: 2 }, crowd, 1);
  const [frame] = frames;
  const labels = tags.filter(({ yMm }) => yMm < plate.yMm + plate.heightMm + 7);
  expect(labels).toHaveLength(20);
  const apart = labels.filter(
    (tag) =>
      Math.max(tag.xMm - frame!.xMm - frame!.widthMm, frame!.xMm - tag.xMm - tag.widthMm) > 1e-6 ||
      Math.max(tag.yMm - frame!.yMm - frame!.heightMm, frame!.yMm - tag.yMm - tag.heightMm) > 1e-6,
  );
  expect(apart.length).toBeGreaterThan(0);
  const on = ({ xMm, yMm, widthMm, heightMm }: (typeof tags)[number], p: { xMm: number; yMm: number }) =>
    p.xMm >= xMm - 1e-9 &&
    p.xMm <= xMm + widthMm + 1e-9 &&
    p.yMm >= yMm - 1e-9 &&
    p.yMm <= yMm + heightMm + 1e-9;
  for (const tag of apart)
    expect(lettering.some((line) => line.length === 2 && on(tag, line[0]!) && on(frame!, line[1]!))).toBe(
      true,
    );
});

test('any range of rows is the same as the whole', () => {
  const picture = map(90);
  const { heightPx } = picture;
  const whole = rowsOf(picture, 0, heightPx);
  const parts = [
    [0, 7],
    [7, 100],
    [100, heightPx],
  ].map(([from, to]) => rowsOf(picture, from!, to!));
  expect(Buffer.compare(Buffer.concat(parts), whole)).toBe(0);
});
