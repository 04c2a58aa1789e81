import type { Extents } from './extents.ts';
import { bestSpeedMmS, type Motion, moveS, overscanMm, travelMm, traverseS } from './motion.ts';

/** Time and travel of one pass over a plate. */
export interface PassEstimate {
  readonly perPassS: number;
  /** Rows that are travelled. */
  readonly rows: number;
  /** Widest run of marks that is travelled, without the room beside it. */
  readonly markedMm: number;
  readonly overscanMm: number;
  /** Way of the carriage in the widest row; more than the bed and the machine cannot keep its speed. */
  readonly travelMm: number;
  readonly fitsTravel: boolean;
  /** Speed at which this plate would be done soonest. */
  readonly bestSpeedMmS: number;
}

/**
 * Time of one pass: rows of w / v + 2 v / a and a pause, each from its first mark to its last where the machine
 * trims, else over the whole plate; empty rows take nothing where it skips them. Marking both ways, a row that
 * ends elsewhere than the next begins is run on to it at speed; marking one way, every row adds its way back,
 * from rest to rest. A plate without a mark takes nothing. `pitchMm` is the size of a pixel along the rows. The small step from row to row happens
 * while the carriage turns. Kinematics; agrees with integration step by step.
 */
export function estimatePass(extents: Extents, pitchMm: number, motion: Motion): PassEstimate {
  const { first, last, lengthPx } = extents;
  const overscan = overscanMm(motion);
  const back = { speedMmS: motion.returnSpeedMmS, accelMmS2: motion.accelMmS2 };
  let perPassS = 0;
  let rows = 0;
  let markedMm = 0;
  let endedMm: number | null = null;
  // a plate without a mark is not run at all
  const lines = first.some((x) => x >= 0) ? first.length : 0;
  for (let y = 0; y < lines; y++) {
    const empty = first[y]! < 0;
    if (empty && motion.skipsEmptyRows) continue;
    const trims = motion.trimsRows && !empty;
    const left = trims ? first[y]! * pitchMm : 0;
    const right = trims ? (last[y]! + 1) * pitchMm : lengthPx * pitchMm;
    const backwards = motion.direction === 'both' && rows % 2 === 1;
    const [startMm, endMm] = backwards ? [right, left] : [left, right];
    if (endedMm !== null) {
      const gapMm = Math.abs(startMm - endedMm);
      if (motion.direction === 'both') perPassS += gapMm / motion.speedMmS;
      else perPassS += moveS(Math.abs(endedMm + 2 * overscan - startMm), back);
    }
    perPassS += traverseS(right - left, motion) + motion.settleS;
    markedMm = Math.max(markedMm, right - left);
    endedMm = endMm;
    rows++;
  }
  // the last way back leads to where the first row begins; taken as long as the widest row's
  if (motion.direction === 'one' && rows > 0) perPassS += moveS(travelMm(markedMm, motion), back);
  const travel = rows > 0 ? travelMm(markedMm, motion) : 0;
  return {
    perPassS,
    rows,
    markedMm,
    overscanMm: overscan,
    travelMm: travel,
    fitsTravel: travel <= motion.bedMm.x,
    bestSpeedMmS: bestSpeedMmS(markedMm, motion.accelMmS2),
  };
}

/** A plate's rows and columns, and the size of its pixels. */
export interface PlateExtents {
  readonly rows: Extents;
  /** Null where nobody wants to know how long the plate takes turned. */
  readonly columns: Extents | null;
  readonly pitchMm: { readonly x: number; readonly y: number };
}

/** Time of all passes of a plate, in seconds, and how it goes with the booked slot. */
export interface TimeEstimate extends PassEstimate {
  readonly totalS: number;
  readonly slotS: number;
  readonly fitsSlot: boolean;
  /** What is left of the slot, or, negative, what is missing. */
  readonly spareS: number;
  /** Passes that fit into one slot. */
  readonly passesPerSlot: number;
  /** The same plate turned by 90 degrees; null where it would not lie or run on the bed. */
  readonly turned: { readonly totalS: number; readonly fitsSlot: boolean; readonly savesS: number } | null;
}

/** Estimates all passes of a plate against the booked slot, as it lies and turned by 90 degrees. */
export function estimateTime(plate: PlateExtents, passes: number, motion: Motion): TimeEstimate {
  const { rows, columns, pitchMm } = plate;
  const pass = estimatePass(rows, pitchMm.x, motion);
  const totalS = passes * pass.perPassS;
  const slotS = motion.slotMinutes * 60;
  return {
    ...pass,
    totalS,
    slotS,
    fitsSlot: totalS <= slotS,
    spareS: slotS - totalS,
    passesPerSlot: pass.perPassS > 0 ? Math.floor(slotS / pass.perPassS) : passes,
    turned: columns && turnedBy90({ rows, columns, pitchMm }, passes, motion, totalS),
  };
}

/** A plate that is run so many times before the next one. */
interface TimedRun {
  readonly passes: number;
  readonly time: TimeEstimate;
}

/** The time of several plates that are run one after the other over the same sheet, against one slot. */
export function estimateInTurn(runs: readonly [TimedRun, ...TimedRun[]], slotS: number): TimeEstimate {
  const times = runs.map(({ time }) => time);
  const totalS = times.reduce((sum, time) => sum + time.totalS, 0);
  const turnedS = times.reduce((sum, { turned }) => sum + (turned?.totalS ?? Number.NaN), 0);
  const passS = runs.flatMap(({ passes, time }) => Array.from({ length: passes }, () => time.perPassS));
  let passesPerSlot = 0;
  let usedS = 0;
  for (const seconds of passS) {
    usedS += seconds;
    if (usedS <= slotS) passesPerSlot++;
  }
  return {
    ...runs[0].time,
    markedMm: Math.max(...times.map(({ markedMm }) => markedMm)),
    travelMm: Math.max(...times.map(({ travelMm }) => travelMm)),
    fitsTravel: times.every(({ fitsTravel }) => fitsTravel),
    totalS,
    slotS,
    fitsSlot: totalS <= slotS,
    spareS: slotS - totalS,
    passesPerSlot,
    turned: Number.isNaN(turnedS)
      ? null
      : { totalS: turnedS, fitsSlot: turnedS <= slotS, savesS: totalS - turnedS },
  };
}

/** The plate with its columns along the scan; null where it would not lie or run on the bed. */
function turnedBy90(
  { rows, columns, pitchMm }: Omit<PlateExtents, 'columns'> & { readonly columns: Extents },
  passes: number,
  motion: Motion,
  uprightS: number,
): TimeEstimate['turned'] {
  const across = estimatePass(columns, pitchMm.y, motion);
  const lies = rows.lengthPx * pitchMm.x <= motion.bedMm.y && columns.lengthPx * pitchMm.y <= motion.bedMm.x;
  if (!lies || !across.fitsTravel) return null;
  const totalS = passes * across.perPassS;
  return { totalS, fitsSlot: totalS <= motion.slotMinutes * 60, savesS: uprightS - totalS };
}
