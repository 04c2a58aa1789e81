import { describe, expect, test } from 'vitest';
import { estimateInTurn, estimatePass, estimateTime } from '../../../src/core/time/estimate.ts';
import type { Extents } from '../../../src/core/time/extents.ts';
import type { Motion } from '../../../src/core/time/motion.ts';

const machine: Motion = {
  speedMmS: 500,
  accelMmS2: 5000,
  direction: 'both',
  returnSpeedMmS: 1000,
  settleS: 0,
  skipsEmptyRows: false,
  trimsRows: false,
  bedMm: { x: 600, y: 400 },
  slotMinutes: 60,
};

/** Rows marked from `first` to `last` tenths of a millimetre; with `emptyEvery` 2 every second one is empty. */
function marked(rows: number, lengthPx: number, first: number, last: number, emptyEvery = 0): Extents {
  const empty = (y: number): boolean => emptyEvery > 0 && y % emptyEvery === 1;
  return {
    lengthPx,
    first: Int32Array.from({ length: rows }, (_, y) => (empty(y) ? -1 : first)),
    last: Int32Array.from({ length: rows }, (_, y) => (empty(y) ? -1 : last)),
  };
}

const solid = (widthMm: number, rows: number): Extents => marked(rows, widthMm * 10, 0, widthMm * 10 - 1);
const clock = (seconds: number): string =>
  `${Math.floor(seconds / 60)}:${String(Math.round(seconds % 60)).padStart(2, '0')}`;

test('a plate without a mark is not run, whether the machine skips empty rows or not', () => {
  for (const skipsEmptyRows of [false, true])
    expect(estimatePass(marked(100, 1000, -1, -1), 0.1, { ...machine, skipsEmptyRows })).toMatchObject({
      perPassS: 0,
      rows: 0,
      travelMm: 0,
    });
});

describe('time of one pass', () => {
  // rows × (w / v + 2 v / a): kinematics, worked outside the project. Rows of h mm at a dpi: nearest whole
  test.each([
    [100, 1969, { speedMmS: 500 }, 787.6],
    [100, 1969, { direction: 'one' as const }, 1469.7],
    [100, 1969, { speedMmS: 250 }, 984.5],
    [100, 1969, { speedMmS: 1000 }, 984.5],
    [200, 1772, { speedMmS: 400, accelMmS2: 8000 }, 1063.2],
    [300, 3937, { speedMmS: 600, accelMmS2: 10000 }, 2440.9],
    [148, 4134, {}, 2050.5],
    [148, 8268, {}, 4100.9],
    [100, 1969, { settleS: 0.02 }, 827.0],
  ])('%s mm wide, %s rows, %o', (widthMm, rows, changes, wantedS) => {
    const { perPassS } = estimatePass(solid(widthMm, rows), 0.1, { ...machine, ...changes });
    expect(Math.abs(perPassS - wantedS)).toBeLessThan(0.1);
  });

  test('the standard job takes 13:08, and as much at 500 dpi in whole pixels', () => {
    expect(clock(estimatePass(solid(100, 1969), 0.1, machine).perPassS)).toBe('13:08');
    const real = marked(1969, 1969, 0, 1968);
    expect(clock(estimatePass(real, 0.0508, machine).perPassS)).toBe('13:08');
  });

  test('rows trimmed to 40 of 100 mm: 551.3 s; every second one empty and skipped: 393.6 s', () => {
    const narrow = marked(1969, 1000, 300, 699);
    expect(estimatePass(narrow, 0.1, { ...machine, trimsRows: true }).perPassS).toBeCloseTo(551.32, 6);
    expect(estimatePass(narrow, 0.1, machine).perPassS).toBeCloseTo(787.6, 6);
    // 984 of 1968 rows
    const half = marked(1968, 1000, 0, 999, 2);
    const skipping = estimatePass(half, 0.1, { ...machine, skipsEmptyRows: true });
    expect(skipping.perPassS).toBeCloseTo(393.6, 6);
    expect(skipping.rows).toBe(984);
    expect(estimatePass(half, 0.1, machine).rows).toBe(1968);
  });

  test('trimmed rows that end elsewhere are run on to the next at speed, or returned from', () => {
    // 0…40 mm, then 0…60 mm: the first row runs on by 20 mm
    const stairs = { lengthPx: 1000, first: Int32Array.of(0, 0), last: Int32Array.of(399, 599) };
    const both = estimatePass(stairs, 0.1, { ...machine, trimsRows: true });
    expect(both.perPassS).toBeCloseTo((40 + 60 + 20) / 500 + 4 * (500 / 5000), 12);
    // back over 40 + 50 mm to the same beginning, then over 60 + 50 mm; v = 1000: both triangular
    const one = estimatePass(stairs, 0.1, { ...machine, trimsRows: true, direction: 'one' });
    const back = 2 * Math.sqrt(90 / 5000) + 2 * Math.sqrt(110 / 5000);
    expect(one.perPassS).toBeCloseTo(100 / 500 + 4 * (500 / 5000) + back, 12);
  });

  test('an empty plate takes no time where empty rows are skipped', () => {
    const empty = marked(10, 1000, -1, -1);
    const pass = estimatePass(empty, 0.1, { ...machine, skipsEmptyRows: true, direction: 'one' });
    expect(pass).toMatchObject({ perPassS: 0, rows: 0, travelMm: 0, fitsTravel: true });
  });

  test('the carriage must find w + v² / a on the bed', () => {
    const wide = solid(560, 10);
    const pass = estimatePass(wide, 0.1, machine);
    expect(pass.overscanMm).toBe(25);
    expect(pass.travelMm).toBeCloseTo(610, 9);
    expect(pass.fitsTravel).toBe(false);
    expect(estimatePass(wide, 0.1, { ...machine, speedMmS: 400 }).fitsTravel).toBe(true);
  });

  test('names the speed above which a faster setting is slower', () => {
    expect(estimatePass(solid(100, 10), 0.1, machine).bestSpeedMmS).toBeCloseTo(500, 9);
  });
});

describe('all passes against the slot', () => {
  const plate = { rows: solid(100, 1969), columns: solid(100, 1969), pitchMm: { x: 0.1, y: 0.1 } };

  test('passes multiply: three of the standard job take 2362.8 s', () => {
    const time = estimateTime(plate, 3, machine);
    expect(time.totalS).toBeCloseTo(2362.8, 6);
    expect(time).toMatchObject({ fitsSlot: true, passesPerSlot: 4, slotS: 3600 });
    expect(time.spareS).toBeCloseTo(1237.2, 6);
    expect(estimateTime(plate, 5, machine).fitsSlot).toBe(false);
  });

  test('the long side along the rows is faster: turning says how much it saves', () => {
    // 50 mm wide, 200 mm high at 10 pixels a mm: 2000 short rows or 500 long ones
    const tall = { rows: solid(50, 2000), columns: solid(200, 500), pitchMm: { x: 0.1, y: 0.1 } };
    const time = estimateTime(tall, 1, machine);
    expect(time.totalS).toBeCloseTo(2000 * 0.3, 6);
    expect(time.turned?.totalS).toBeCloseTo(500 * 0.6, 6);
    expect(time.turned?.savesS).toBeCloseTo(300, 6);
  });

  test('a plate that would not lie on the bed is not turned', () => {
    const long = { rows: solid(500, 100), columns: solid(10, 5000), pitchMm: { x: 0.1, y: 0.1 } };
    expect(estimateTime(long, 1, machine).turned).toBeNull();
  });
});

describe('plates one after the other', () => {
  const plate = { rows: solid(100, 1969), columns: solid(100, 1969), pitchMm: { x: 0.1, y: 0.1 } };
  const half = { rows: solid(100, 985), columns: solid(100, 985), pitchMm: { x: 0.1, y: 0.1 } };

  test('one pass of the standard job and three of half its rows: 787.6 + 3 × 394 s', () => {
    const runs = [
      { passes: 1, time: estimateTime(plate, 1, machine) },
      { passes: 3, time: estimateTime(half, 3, machine) },
    ] as const;
    const time = estimateInTurn(runs, 1600);
    expect(time.totalS).toBeCloseTo(787.6 + 3 * 394, 6);
    expect(time.perPassS).toBeCloseTo(787.6, 6);
    expect(time).toMatchObject({ fitsSlot: false, slotS: 1600, passesPerSlot: 3 });
    expect(time.spareS).toBeCloseTo(1600 - 1969.6, 6);
    expect(time.turned?.totalS).toBeCloseTo(time.totalS, 6);
    expect(estimateInTurn(runs, 2000)).toMatchObject({ fitsSlot: true, passesPerSlot: 4 });
    expect(estimateInTurn(runs, 700).passesPerSlot).toBe(0);
  });

  test('one that cannot be turned keeps all of them from it', () => {
    const flat = { ...half, columns: null };
    const runs = [
      { passes: 1, time: estimateTime(plate, 1, machine) },
      { passes: 1, time: estimateTime(flat, 1, machine) },
    ] as const;
    expect(estimateInTurn(runs, 3600).turned).toBeNull();
  });
});
