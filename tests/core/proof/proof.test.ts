import { describe, expect, test } from 'vitest';
import { type Bitmap, createBitmap, fillRow, mirrorRow } from '../../../src/core/bitmap.ts';
import { type InkedPlate, openInk } from '../../../src/core/proof/ink.ts';
import { openProof, type Proof, rowsOf } from '../../../src/core/proof/proof.ts';
import { NO_STRETCH } from '../../../src/core/register/stretch.ts';
import { draw, tile } from '../spot/slow.ts';

const PITCH = 25.4 / 500;
const plain = {
  mirrored: false,
  pitchMm: PITCH,
  spot: null,
  squashMm: 0,
  poolMm: null,
  plateTone: 0,
  stretch: NO_STRETCH,
} as const;

/** Mean ink of the middle of a plane, by rows and columns [from, to). */
function inkOf(plate: InkedPlate, ppi: number, from = 0, to = Number.POSITIVE_INFINITY): number {
  const { widthPx, heightPx, rows } = openInk(plate, ppi);
  const row = new Float32Array(widthPx);
  let sum = 0;
  let count = 0;
  for (let y = from; y < Math.min(to, heightPx); y++) {
    rows(y, row);
    for (let x = from; x < Math.min(to, widthPx); x++, count++) sum += row[x]!;
  }
  return sum / count;
}

const inkRows = (plate: InkedPlate, ppi: number): number[][] => {
  const { widthPx, heightPx, rows } = openInk(plate, ppi);
  return Array.from({ length: heightPx }, (_, y) => {
    const row = new Float32Array(widthPx);
    rows(y, row);
    return [...row];
  });
};

const onWhite = (plate: InkedPlate, ppi: number, solid = 0): Proof =>
  openProof(
    [{ plate, ink: { light: [solid, solid, solid], opaque: true } }],
    { light: [1, 1, 1], marginMm: 0, plateMark: false },
    ppi,
  );

// CIE 15, L*: 116 · ∛Y − 16 above (6/29)³, a straight line below
const lightness = (y: number): number => (y > (6 / 29) ** 3 ? 116 * Math.cbrt(y) - 16 : (24389 / 27) * y);
const decode = (code: number): number =>
  code / 255 <= 0.04045 ? code / 255 / 12.92 : ((code / 255 + 0.055) / 1.055) ** 2.4;

function meanLightness(proof: Proof, edge: number): number {
  const { widthPx, heightPx } = proof;
  const bytes = rowsOf(proof, 0, heightPx);
  let sum = 0;
  let count = 0;
  for (let y = edge; y < heightPx - edge; y++)
    for (let x = edge; x < widthPx - edge; x++, count++) sum += decode(bytes[(y * widthPx + x) * 3]!);
  return lightness(sum / count);
}

// 500 dpi at 100 pixels an inch: 5 × 5 to 1; of period 2, 3 and 4, all in whole repeats over 240 less the edges
const patterns: [string, Bitmap, readonly [q: number, etched: number][]][] = [
  [
    'checkerboard',
    draw('#.', '.#'),
    [
      [1, 0.3927],
      [Math.SQRT2, 0.7854],
      [1.9685, 0.9996],
    ],
  ],
  [
    'lines 1 on 1 off',
    draw('#.'),
    [
      [1, 0.3927],
      [Math.SQRT2, 0.6427],
      [1.9685, 0.9401],
    ],
  ],
  [
    'lines 2 on 2 off',
    draw('##..'),
    [
      [1, 0.3927],
      [Math.SQRT2, 0.5713],
      [1.9685, 0.72],
    ],
  ],
  [
    '1 px of 2 × 2',
    draw('#.', '..'),
    [
      [1, 0.1964],
      [Math.SQRT2, 0.3927],
      [1.9685, 0.7608],
    ],
  ],
  [
    'lines 3 on 1 off',
    draw('###.'),
    [
      [1, 0.5891],
      [Math.SQRT2, 0.8213],
      [1.9685, 0.9701],
    ],
  ],
];

describe('the cleared ground of a block, under a spot of 1.18 pitches (0.1 mm at 300 dpi)', () => {
  const block = (map: Bitmap, spotMm = 1.18 * PITCH): InkedPlate => ({
    ...plain,
    map,
    prints: 'kept',
    spot: { spotMm, beam: 'pulse' },
  });
  const fired = tile(draw('#'), 240, 240);

  test('takes no ink, though marks leave tips between them; where marks only touch, walls print', () => {
    expect(inkOf(block(fired), 500, 5, 235)).toBe(0);
    expect(inkOf(block(fired), 100, 3, 45)).toBe(0);
    // a square less its circle
    expect(inkOf(block(fired, PITCH), 500, 5, 235)).toBeCloseTo(1 - Math.PI / 4, 4);
  });

  test('is all that changes: lone marks are as large as they are, and the face beside it stays', () => {
    const lone = block(tile(draw('#.', '..'), 240, 240));
    expect(inkOf(lone, 100, 3, 45)).toBeCloseTo(1 - (Math.PI * 1.18 ** 2) / 16, 3);
    const half = createBitmap(240, 240);
    for (let y = 0; y < 240; y++) fillRow(half.data, y * half.strideBytes, 0, 120, 1);
    // the mark of the last column reaches into the face, by 0.09 pitches and less between marks
    expect(inkOf(block(half), 500, 5, 235)).toBeCloseTo(0.5, 2);
  });
});

describe('light of a patch', () => {
  // Etched areas: union of discs integrated by a program of its own in another language, rounded to 0.0001; what
  // paper and ink make of it: Murray & Davies 1936. Ink of density 1.4, as the rounding would tell in pure black.
  test.each(patterns)('%s: within 0.5 L* of Murray and Davies', (_, pattern, areas) => {
    const map = tile(pattern, 240, 240);
    const solid = 10 ** -1.4;
    for (const [q, etched] of areas) {
      for (const prints of ['etched', 'kept'] as const) {
        const plate = { ...plain, map, spot: { spotMm: q * PITCH, beam: 'pulse' as const }, prints };
        const ink = prints === 'etched' ? etched : 1 - etched;
        const wanted = lightness(1 - ink + ink * solid);
        const got = meanLightness(onWhite(plate, 100, solid), 4);
        expect(Math.abs(got - wanted), `${prints}, spot / pitch ${q}`).toBeLessThan(0.5);
      }
    }
  });

  // IEC 61966-2-1: half the light is code 187.516
  test.each([50, 100, 125])('a checkerboard without spread is code 188 at %s pixels an inch', (ppi) => {
    const proof = onWhite({ ...plain, map: tile(draw('#.', '.#'), 400, 400), prints: 'etched' }, ppi);
    const bytes = rowsOf(proof, 0, proof.heightPx);
    const mean = bytes.reduce((sum, byte) => sum + byte, 0) / bytes.length;
    expect(Math.round(mean)).toBe(188);
  });
});

test.each([
  [100, 60, 500, 200],
  [37.3, 11.9, 1000, 200],
  [50, 50, 300, 96],
  [20, 10, 500, 1200],
])('a plate of %s × %s mm at %s dpi has its size on the proof at %s', (widthMm, heightMm, dpi, ppi) => {
  const px = (mm: number): number => Math.round((mm * dpi) / 25.4);
  const map = createBitmap(px(widthMm), px(heightMm));
  const plane = openInk({ ...plain, map, pitchMm: 25.4 / dpi, prints: 'etched' }, ppi);
  // the plate itself is right to half its pixel, the proof to half of its own
  const within = 25.4 / dpi / 2 + 25.4 / ppi / 2 + 1e-9;
  expect(Math.abs((plane.widthPx * 25.4) / ppi - widthMm)).toBeLessThan(within);
  expect(Math.abs((plane.heightPx * 25.4) / ppi - heightMm)).toBeLessThan(within);
});

test('finer or coarser than the plate, the same share of ink', () => {
  const map = tile(draw('##.#.', '#..#.', '.....'), 100, 90);
  const share = 5 / 15;
  for (const ppi of [37, 100, 331, 500, 777, 1200])
    expect(inkOf({ ...plain, map, prints: 'etched' }, ppi)).toBeCloseTo(share, 5);
});

test('a mirrored plate comes out print-reading', () => {
  const print = tile(draw('#...', '#...', '###.'), 4, 3);
  const plate = tile(print, 4, 3);
  for (let y = 0; y < 3; y++) mirrorRow(plate.data, y * plate.strideBytes, 4);
  const drawn = (map: Bitmap, mirrored: boolean) =>
    inkRows({ ...plain, map, mirrored, prints: 'etched' }, 500).map((row) =>
      row.map((share) => (share > 0.5 ? '#' : '.')).join(''),
    );
  expect(drawn(plate, true)).toEqual(['#...', '#...', '###.']);
  expect(drawn(plate, false)).toEqual(['...#', '...#', '.###']);
});

test('any range of rows is the same as the whole', () => {
  const map = tile(draw('##.#......', '#..##.....', '..........', '#########.'), 310, 290);
  const plates: InkedPlate[] = [
    { ...plain, map, prints: 'kept', squashMm: 0.07, spot: { spotMm: 0.1, beam: 'pulse' } },
    { ...plain, map, prints: 'etched', poolMm: 0.1, plateTone: 0.1, mirrored: true },
  ];
  for (const plate of plates) {
    const make = () =>
      openProof(
        [{ plate, ink: { light: [0, 0, 0.1], opaque: true } }],
        { light: [0.9, 0.9, 0.8], marginMm: 1, plateMark: true },
        330,
      );
    const { heightPx } = make();
    const whole = rowsOf(make(), 0, heightPx);
    const parts = [
      [0, 1],
      [1, 57],
      [57, 58],
      [58, heightPx],
    ].map(([from, to]) => rowsOf(make(), from!, to!));
    expect(Buffer.compare(Buffer.concat(parts), whole)).toBe(0);
  }
});

describe('squash on a block', () => {
  const stripe = (): Bitmap => {
    const map = createBitmap(100, 20);
    map.data.fill(0xff);
    for (let y = 0; y < 20; y++) {
      fillRow(map.data, y * map.strideBytes, 0, 100, 1);
      fillRow(map.data, y * map.strideBytes, 40, 60, 0);
    }
    return map;
  };

  // geometry: a line gains twice the squash
  test.each([0, 0.01, 0.02, 0.05, 0.1])('a line of 20 pixels gains 2 × %s mm', (squashMm) => {
    const ink = inkOf({ ...plain, map: stripe(), prints: 'kept', squashMm }, 500);
    expect(ink * 100 * PITCH).toBeCloseTo(20 * PITCH + 2 * squashMm, 4);
  });

  test.each(patterns)('%s: more squash never gives less ink', (_, pattern) => {
    const map = tile(pattern, 60, 60);
    let before = 0;
    for (let squashMm = 0; squashMm < 0.1; squashMm += 0.007) {
      const plate = { ...plain, map, prints: 'kept' as const, squashMm };
      const ink = inkOf({ ...plate, spot: { spotMm: 0.06, beam: 'pulse' } }, 250);
      expect(ink).toBeGreaterThanOrEqual(before - 1e-6);
      before = ink;
    }
  });

  // geometry: a disc of radius r that grows by s covers π (r + s)²; the front runs a little ahead on slants
  test('a round dot grows all round', () => {
    const map = createBitmap(120, 120);
    for (let y = 0; y < 120; y++)
      for (let x = 0; x < 120; x++)
        if (Math.hypot(x - 59.5, y - 59.5) >= 30)
          map.data[y * map.strideBytes + (x >> 3)]! |= 0x80 >> (x & 7);
    const area = inkOf({ ...plain, map, prints: 'kept', squashMm: 2 * PITCH }, 500) * 120 * 120;
    expect(Math.abs(Math.sqrt(area / Math.PI) - 32)).toBeLessThan(0.15);
  });
});

describe('pools of a wiped plate', () => {
  /** An etched square of `mm`, on ground. */
  const pool = (mm: number): InkedPlate => {
    const side = Math.round(mm / PITCH);
    const map = createBitmap(side + 40, side + 40);
    for (let y = 20; y < 20 + side; y++) fillRow(map.data, y * map.strideBytes, 20, 20 + side, 1);
    return { ...plain, map, prints: 'etched', poolMm: 0.8 };
  };
  const middle = (rows: number[][]): number[] => rows[rows.length >> 1]!;

  test('open bite is pale in the middle and full at the wall', () => {
    const row = middle(inkRows(pool(4), 200));
    const across = row.length >> 1;
    expect(Math.max(...row)).toBeCloseTo(1, 3);
    expect(row[across]).toBeLessThan(0.4);
    const inside = row.slice(row.indexOf(Math.max(...row)), across);
    for (let i = 1; i < inside.length; i++) expect(inside[i]! - inside[i - 1]!).toBeLessThan(1e-6);
  });

  test('a pool that is narrow enough keeps its ink', () => {
    expect(Math.min(...middle(inkRows(pool(0.75), 200)).slice(9, 12))).toBeCloseTo(1, 5);
  });

  test('the slow way finds the same distances', () => {
    const plate = pool(44 * PITCH);
    const held = inkRows(plate, 250);
    const etched = inkRows({ ...plate, poolMm: null }, 500);
    const side = etched.length;
    const cellMm = (plate.map.widthPx * PITCH) / side;
    const slow = (x: number, y: number): number => {
      let best = Number.POSITIVE_INFINITY;
      for (let v = -1; v <= side; v++)
        for (let u = -1; u <= side; u++)
          if ((etched[v]?.[u] ?? 0) < 7 / 8) best = Math.min(best, Math.hypot(u - x, v - y));
      const mm = (best - 0.5) * cellMm;
      return etched[y]![x]! * (mm <= 0.4 ? 1 : Math.max(0.3, 1 - (0.7 * (mm - 0.4)) / 0.4));
    };
    for (const [x, y] of [
      [10, 10],
      [15, 20],
      [21, 21],
      [12, 30],
      [20, 16],
    ] as const) {
      const four = [0, 1].flatMap((v) => [0, 1].map((u) => slow(2 * x + u, 2 * y + v)));
      expect(held[y]![x]).toBeCloseTo(four.reduce((a, b) => a + b) / 4, 4);
    }
  });

  test('plate tone lies on the ground alone', () => {
    const plate = { ...pool(1), poolMm: null, plateTone: 0.08 };
    const [first] = inkRows(plate, 100);
    expect(first![0]).toBeCloseTo(0.08, 6);
    expect(Math.max(...middle(inkRows(plate, 100)))).toBeCloseTo(1, 6);
  });
});

test('the plate mark runs round the plate, dark above and left, light below and right', () => {
  const map = createBitmap(400, 300);
  const paper = { light: [0.5, 0.5, 0.5], marginMm: 5, plateMark: true } as const;
  const plate = { ...plain, map, prints: 'etched' as const };
  const proof = openProof([{ plate, ink: { light: [0, 0, 0], opaque: true } }], paper, 200);
  const bytes = rowsOf(proof, 0, proof.heightPx);
  const at = (x: number, y: number): number => bytes[(y * proof.widthPx + x) * 3]!;
  const { marginPx, widthPx, heightPx } = proof;
  const [x, y] = [widthPx >> 1, heightPx >> 1];
  expect([at(2, 2), at(x, y)]).toEqual([188, 188]);
  expect(at(marginPx, y)).toBeLessThan(183);
  expect(at(x, marginPx)).toBeLessThan(183);
  expect(at(widthPx - marginPx, y)).toBeGreaterThan(190);
  expect(at(x, heightPx - marginPx)).toBeGreaterThan(190);
});
