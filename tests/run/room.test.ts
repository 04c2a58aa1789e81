import { expect, test } from 'vitest';
import { EtchError } from '../../src/core/errors.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { resolveMaking } from '../../src/job/making.ts';
import {
  CHECK,
  memoryHere,
  PLATE,
  type Raster,
  refuseWithoutRoom,
  SET_OF_AREAS,
} from '../../src/run/plate/room.ts';

const GB = 1e9;
const { job } = resolveJob([{ origin: 'flag', name: '', values: { process: 'relief' } }]);
const { making } = resolveMaking(job!, null);
// 2,000 × 1,000 mm at 1,270 dpi, which is 50 pixels a millimetre
const LARGEST: Raster = { widthPx: 100_000, heightPx: 50_000, dpi: 1270 };

const refusal = (raster: Raster, appetite: typeof PLATE, haveGB: number): EtchError | null => {
  try {
    refuseWithoutRoom(raster, appetite, making, haveGB * GB);
    return null;
  } catch (error) {
    return error as EtchError;
  }
};

test('a plate is made where what is promised for it is there, and refused a byte below', () => {
  // 180 MB + 2.5 × 625 MB
  const promised = 1.7425;
  expect(refusal(LARGEST, PLATE, promised)).toBeNull();
  expect(refusal(LARGEST, PLATE, promised - 1e-9)).toBeInstanceOf(EtchError);
});

test('the refusal tells size, memory, the machine’s time and the resolution that fits', () => {
  const { kind, code, message, hint } = refusal(LARGEST, PLATE, 1)!;
  expect([kind, code]).toEqual(['refused', 'no-memory']);
  expect(message).toContain('2000 × 1000 mm at 1270 dpi');
  expect(message).toContain('5,000 million pixels');
  expect(message).toContain('up to 1.7 GB of memory, and there are 1.0 GB');
  // 50,000 rows of 2 m at 0.5 m/s, speeding up and down at 5 m/s²: 4 + 2 × 0.5 / 5 s each (w / v + 2 v / a)
  expect(message).toContain('about 58 hours');
  // 820 MB / 2.5 × 8 = 2,624 million pixels are left: 1270 × √(2624 / 5000) = 920.03, a hair less for padding
  expect(hint).toContain('Up to 910 dpi fit here');
  expect(refusal({ ...LARGEST, widthPx: 71_654, heightPx: 35_827, dpi: 910 }, PLATE, 1)).toBeNull();
});

test('areas of a set are numbered in 31 bits, whatever the memory', () => {
  const side = Math.floor(Math.sqrt(2 ** 31 - 1));
  expect(refusal({ widthPx: side, heightPx: side, dpi: 500 }, SET_OF_AREAS, 64)).toBeNull();
  const { message, hint } = refusal({ widthPx: side + 1, heightPx: side + 1, dpi: 500 }, SET_OF_AREAS, 64)!;
  expect(message).toContain('numbers 2,147 million at most');
  expect(hint).toContain('Up to 490 dpi');
});

test('where not even the program itself fits, no resolution is named', () => {
  expect(refusal(LARGEST, CHECK, 0.2)!.hint).toBe('Use a computer with more memory.');
});

test('a share of the machine counts where there is one; 0 and more than there is stand for none', () => {
  expect(memoryHere(8 * GB, 2 * GB)).toBe(2 * GB);
  expect(memoryHere(8 * GB, 0)).toBe(8 * GB);
  expect(memoryHere(8 * GB, 2 ** 64)).toBe(8 * GB);
  expect(memoryHere()).toBeGreaterThan(0.1 * GB);
});
