/** How a machine scans: SI numbers of its own motion, measured or from its papers. */
export interface Motion {
  readonly speedMmS: number;
  readonly accelMmS2: number;
  /** Marks on the way there and back, or only on the way there. */
  readonly direction: 'both' | 'one';
  /** Speed of the way back where only one direction marks. */
  readonly returnSpeedMmS: number;
  /** Pause at the end of each row. */
  readonly settleS: number;
  readonly skipsEmptyRows: boolean;
  /** Travels each row only from its first to its last mark. */
  readonly trimsRows: boolean;
  readonly bedMm: { readonly x: number; readonly y: number };
  readonly slotMinutes: number;
}

type Speeds = Pick<Motion, 'speedMmS' | 'accelMmS2'>;

/** Room beside the marks, on each side, in which the carriage speeds up and slows down: v² / 2a. Kinematics. */
export const overscanMm = ({ speedMmS, accelMmS2 }: Speeds): number => speedMmS ** 2 / (2 * accelMmS2);

/** Way of the carriage for marks `widthMm` wide: w + v² / a. */
export const travelMm = (widthMm: number, speeds: Speeds): number => widthMm + 2 * overscanMm(speeds);

/** Time of one traverse at constant speed over the marks, ramps outside them: w / v + 2 v / a. */
export const traverseS = (widthMm: number, { speedMmS, accelMmS2 }: Speeds): number =>
  widthMm / speedMmS + (2 * speedMmS) / accelMmS2;

/**
 * Time of a move from rest to rest: S / v + v / a, or 2 √(S / a) where the way is too short to reach the speed
 * (triangular profile).
 */
export function moveS(wayMm: number, { speedMmS, accelMmS2 }: Speeds): number {
  const ramps = speedMmS ** 2 / accelMmS2;
  return wayMm >= ramps ? wayMm / speedMmS + speedMmS / accelMmS2 : 2 * Math.sqrt(wayMm / accelMmS2);
}

/** Speed at which a row takes least: v* = √(w · a / 2). Faster than that, the ramps cost more than the marks save. */
export const bestSpeedMmS = (widthMm: number, accelMmS2: number): number =>
  Math.sqrt((widthMm * accelMmS2) / 2);
