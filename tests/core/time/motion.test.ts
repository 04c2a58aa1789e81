import { describe, expect, test } from 'vitest';
import { bestSpeedMmS, moveS, overscanMm, travelMm, traverseS } from '../../../src/core/time/motion.ts';
import { passesFor } from '../../../src/core/time/passes.ts';

/** A move from rest to rest in small steps: speed up while there is way enough left to stop. */
function steppedMoveS(wayMm: number, speedMmS: number, accelMmS2: number): number {
  const step = 1e-5;
  let at = 0;
  let speed = 0;
  let time = 0;
  while (at < wayMm && time < 10) {
    const stopsIn = (speed * speed) / (2 * accelMmS2);
    speed += (wayMm - at <= stopsIn ? -accelMmS2 : speed < speedMmS ? accelMmS2 : 0) * step;
    if (speed <= 0) break;
    at += speed * step;
    time += step;
  }
  return time;
}

describe('kinematics of the carriage', () => {
  // the last two are triangular: the way is shorter than v² / a
  test.each([
    [100, 500, 5000, 0.3],
    [200, 300, 2000, 0.816667],
    [30, 500, 5000, 0.154919],
    [10, 1000, 10000, 0.063246],
  ])('a move over %s mm at %s mm/s and %s mm/s²', (way, speedMmS, accelMmS2, wanted) => {
    const closed = moveS(way, { speedMmS, accelMmS2 });
    expect(closed).toBeCloseTo(wanted, 5);
    expect(steppedMoveS(way, speedMmS, accelMmS2)).toBeCloseTo(closed, 2);
  });

  test('a traverse is a move over the marks and the room beside them', () => {
    const speeds = { speedMmS: 400, accelMmS2: 8000 };
    expect(overscanMm(speeds)).toBe(10);
    expect(travelMm(200, speeds)).toBe(220);
    expect(traverseS(200, speeds)).toBeCloseTo(moveS(220, speeds), 12);
    expect(steppedMoveS(220, 400, 8000)).toBeCloseTo(traverseS(200, speeds), 2);
  });

  // row* = 2 √(2w / a) at v* = √(w a / 2)
  test.each([
    [50, 5000, 353.553391, 0.282843],
    [100, 5000, 500, 0.4],
    [200, 5000, 707.106781, 0.565685],
    [100, 2000, 316.227766, 0.632456],
    [300, 10000, 1224.744871, 0.489898],
  ])('marks %s mm wide at %s mm/s² are done soonest at %s mm/s', (widthMm, accelMmS2, speed, row) => {
    expect(bestSpeedMmS(widthMm, accelMmS2)).toBeCloseTo(speed, 5);
    expect(traverseS(widthMm, { speedMmS: speed, accelMmS2 })).toBeCloseTo(row, 5);
    for (const other of [speed * 0.8, speed * 1.25]) {
      expect(traverseS(widthMm, { speedMmS: other, accelMmS2 })).toBeGreaterThan(row);
    }
  });
});

test('0.3 mm at 0.1 mm a pass is three passes, a little more is four', () => {
  expect(passesFor(0.3, 0.1)).toBe(3);
  expect(passesFor(0.301, 0.1)).toBe(4);
  expect(passesFor(2, 0.5)).toBe(4);
  expect(passesFor(0.02, 0.5)).toBe(1);
});
