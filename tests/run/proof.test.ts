import { describe, expect, test } from 'vitest';
import { createBitmap, fillRow, getBit } from '../../src/core/bitmap.ts';
import { processes } from '../../src/core/processes/index.ts';
import { type RgbRows, rowsOf } from '../../src/core/proof/proof.ts';
import { NO_STRETCH } from '../../src/core/register/stretch.ts';
import { proofSettingsSchema } from '../../src/job/proof-settings.ts';
import {
  keptSize,
  makeHoldMap,
  makeProof,
  makeSmallHoldMap,
  type ProofRequest,
} from '../../src/run/looking/proof.ts';

const PITCH = 25.4 / 500;

const whole = (picture: RgbRows): Buffer => Buffer.from(rowsOf(picture, 0, picture.heightPx));
const isSame = (one: RgbRows, other: RgbRows): boolean => whole(one).equals(whole(other));

/** A plate of 20 × 10 mm whose left half is etched. */
function request(process: ProofRequest['process'], settings: object = {}): ProofRequest {
  const bitmap = createBitmap(394, 196);
  for (let y = 0; y < 196; y++) fillRow(bitmap.data, y * bitmap.strideBytes, 0, 197, 1);
  return {
    process,
    bitmap,
    mirrored: true,
    spot: { spotMm: 0.1, pitchMm: PITCH, beam: 'pulse' },
    maxPoolMm: 0.8,
    stretch: NO_STRETCH,
    settings: proofSettingsSchema.parse(settings),
  };
}

/** Colour at a place of the plate, in mm. */
function colourAt(wanted: ProofRequest, xMm: number, yMm: number): number[] {
  const proof = makeProof(wanted);
  const { marginPx, ppi } = proof;
  const [x, y] = [xMm, yMm].map((mm) => marginPx + Math.floor((mm * ppi) / 25.4));
  return [...rowsOf(proof, y!, y! + 1).subarray(x! * 3, x! * 3 + 3)];
}

describe('a proof', () => {
  const colours = { inkColour: '#123456', paperColour: '#fedcba' };

  test('of a block: ink on what is kept, the paper bare elsewhere, no trace of the edge', () => {
    const wanted = request('relief', colours);
    expect(colourAt(wanted, 5, 5)).toEqual([0x12, 0x34, 0x56]);
    expect(colourAt(wanted, 15, 5)).toEqual([0xfe, 0xdc, 0xba]);
    expect(colourAt(wanted, 19.95, 5)).toEqual([0xfe, 0xdc, 0xba]);
  });

  test('of a plate: ink in what is etched, pale where it is wide, a film on the ground', () => {
    const wanted = request('intaglio', colours);
    const [wall, pool, ground] = [10.2, 15, 5].map((xMm) => colourAt(wanted, xMm, 5)[0]!);
    expect(wall).toBe(0x12);
    expect(pool).toBeGreaterThan(0xb0);
    expect(ground).toBeLessThan(0xfe);
    expect(ground).toBeGreaterThan(0xf0);
    expect(colourAt(wanted, -4, 5)).toEqual([0xfe, 0xdc, 0xba]);
  });

  test('of a plate with no pool known is full all over, and clean with no plate tone', () => {
    const wanted = { ...request('intaglio', { ...colours, plateTonePercent: 0 }), maxPoolMm: null };
    expect(colourAt(wanted, 15, 5)).toEqual([0x12, 0x34, 0x56]);
    expect(colourAt(wanted, 5, 5)).toEqual([0xfe, 0xdc, 0xba]);
  });

  test.each(Object.keys(processes) as ProofRequest['process'][])('of %s tells a bad colour', (process) => {
    expect(() => makeProof(request(process, { inkColour: 'ink' }))).toThrow(/colour of the ink: "ink"/);
  });
});

describe.each(Object.keys(processes) as ProofRequest['process'][])('of %s, a small map', (process) => {
  test.each([true, false])('over its own bits is a map without words or marks, mirrored: %s', (mirrored) => {
    // at the plate's own resolution a reduced plate is the plate
    const wanted = { ...request(process, { proofPpi: 500 }), mirrored };
    const { bitmap } = wanted;
    const shares = Float32Array.from({ length: bitmap.widthPx * bitmap.heightPx }, (_, i) =>
      getBit(bitmap, i % bitmap.widthPx, Math.floor(i / bitmap.widthPx)),
    );
    const { widthPx, heightPx } = bitmap;
    const small = makeSmallHoldMap(wanted, { widthPx, heightPx, shares }, [], 1);
    const around = Math.round((small.widthPx - widthPx) / 2);
    const y = 98;
    const row = rowsOf(small, around + y, around + y + 1).subarray(around * 3, (around + widthPx) * 3);
    // #c4c4c4 in steps of four codes, upon white
    const grey = Uint8Array.from({ length: widthPx }, (_, x) => {
      const etched = getBit(bitmap, mirrored ? widthPx - 1 - x : x, y) === 1;
      return etched === (processes[process].prints === 'etched') ? 199 : 255;
    });
    expect([...row].filter((_, i) => i % 3 === 0)).toEqual([...grey]);
    expect(new Set(grey).size).toBe(2);
  });
});

test.each(['relief', 'intaglio'] as const)(
  'a hold map over the ink that the proof kept is the map made alone: %s',
  (process) => {
    const wanted = request(process);
    const size = keptSize(wanted)!;
    const kept = { ...size, bytes: new Uint8Array(size.widthPx * size.heightPx) };
    const proof = makeProof(wanted, kept);
    expect(isSame(proof, makeProof(wanted))).toBe(true);
    const alone = makeHoldMap(wanted, [], new Map());
    const over = makeHoldMap(wanted, [], new Map(), kept);
    expect(isSame(over, alone)).toBe(true);
    expect(new Set(kept.bytes).size).toBeGreaterThan(2);
  },
);

test('a stretched plate has a map of its own size', () => {
  expect(keptSize({ ...request('intaglio'), stretch: { x: 0.01, y: 0 } })).toBeNull();
});

test('a hold map is as wide as its plate needs and shows the words given', () => {
  const check = {
    limitMm: 0.3,
    basis: 'measured',
    worstMm: 0.1,
    areaMm2: 1,
    share: 0.1,
    byWidth: [],
  } as const;
  const found = {
    ...check,
    code: 'thin-lands',
    count: 3,
    places: [{ xMm: 2, yMm: 2, widthMm: 4, heightMm: 4 }],
  };
  const short = makeHoldMap(request('intaglio'), [found], new Map([['thin-lands', 'Too thin.']]));
  const long = makeHoldMap(request('intaglio'), [found], new Map([['thin-lands', 'Too thin. '.repeat(60)]]));
  expect(short.widthPx).toBe(long.widthPx);
  expect(long.heightPx).toBeGreaterThan(short.heightPx);
  const clear = makeHoldMap(request('intaglio'), [{ ...found, count: 0, places: [] }], new Map());
  expect(clear.heightPx).toBeLessThan(short.heightPx);
});
