import { MM_PER_INCH } from '../geometry.ts';
import { type Beat, beatOf, type RuledScreen } from './beat.ts';
import { angleOf, type Cell } from './dot/cell.ts';

/** Moiré whose period lies between is seen as a pattern: shorter is texture, longer is wider than most pictures' flats. */
const SEEN_FROM_MM = 2;
const SEEN_TO_MM = 30;

/** Rulings of a set may differ by so much from the one asked for. */
const RULING_MAY_DIFFER = 0.12;
const SWEEPS = 6;
/** A moiré just too quick to be seen is worth two per cent of ruling, or 1.1°. */
const QUICK = 0.02;

/** One screen of a set, as the pixel grid has it. */
interface SetScreen extends RuledScreen {
  readonly cell: Cell;
}

/** Moiré of two screens of a set, by their numbers from 0. */
interface SetBeat extends Beat {
  readonly screens: readonly [number, number];
  /** True where it is seen as a pattern. */
  readonly seen: boolean;
}

interface AngleSet {
  readonly screens: readonly SetScreen[];
  readonly beats: readonly SetBeat[];
}

const isSeen = (periodMm: number): boolean => periodMm > SEEN_FROM_MM && periodMm < SEEN_TO_MM;

/** Every cell of about this period whose angle is 0 … <90: others are the same dots again. */
function cellsOf(periodPx: number): Cell[] {
  const least = periodPx * (1 - RULING_MAY_DIFFER);
  const most = periodPx * (1 + RULING_MAY_DIFFER);
  const cells: Cell[] = [];
  for (let a = 1; a <= most; a++)
    for (let b = 0; b <= most; b++) {
      const side = Math.hypot(a, b);
      if (side >= least && side <= most) cells.push({ a, b, pixels: a * a + b * b });
    }
  return cells;
}

/**
 * What is bad about two screens: a moiré that is seen, the nearer to the middle of what is seen the worse; a slow one,
 * as then colour hangs on register, worse than most; a quick one hardly, the slower the more.
 */
function clash(one: RuledScreen, other: RuledScreen): number {
  const { periodMm } = beatOf(one, other);
  if (periodMm >= SEEN_TO_MM) return 180;
  if (periodMm <= SEEN_FROM_MM) return (QUICK * periodMm) / SEEN_FROM_MM;
  const middle = Math.sqrt(SEEN_FROM_MM * SEEN_TO_MM);
  return 100 * (1 + Math.min(periodMm / middle, middle / periodMm));
}

/**
 * Angles and rulings for the dots of a set, on a plate of so many pixels a millimetre: cells near to the ruling and to the
 * angles asked for, one for each screen, of which no two beat with a period of 2 to 30 mm, so far as there are such.
 * Starts from the angles asked for and from even ones, and changes one screen after the other; the best set wins.
 */
export function chooseAngles(rulingLpi: number, anglesDeg: readonly number[], pxPerMm: number): AngleSet {
  const wantedPx = (MM_PER_INCH / rulingLpi) * pxPerMm;
  const choices = cellsOf(wantedPx).map((cell): SetScreen & { readonly offRuling: number } => ({
    cell,
    rulingLpi: (MM_PER_INCH * pxPerMm) / Math.sqrt(cell.pixels),
    angleDeg: angleOf(cell),
    offRuling: Math.abs(Math.sqrt(cell.pixels) / wantedPx - 1),
  }));
  const apartDeg = (one: number, other: number): number => {
    const turned = (((one - other) % 90) + 90) % 90;
    return Math.min(turned, 90 - turned);
  };
  const n = anglesDeg.length;
  const first = anglesDeg[0] ?? 45;
  const even = (from: number): number[] => anglesDeg.map((_, i) => from + (90 * i) / n);
  const starts = [anglesDeg, even(first), even(0), even(45 / n), even(30 / n)];

  let best: readonly (SetScreen & { readonly offRuling: number })[] = [];
  let least = Number.POSITIVE_INFINITY;
  for (const start of starts) {
    // one per cent of ruling is worth as much as 0.57°: as far off on the pixel grid
    const stray = (choice: (typeof choices)[number], i: number): number =>
      choice.offRuling + (apartDeg(choice.angleDeg, start[i]!) * Math.PI) / 180;
    const set = start.map((_, i) =>
      choices.reduce((kept, choice) => (stray(choice, i) < stray(kept, i) ? choice : kept)),
    );
    const costOf = (choice: (typeof choices)[number], i: number): number =>
      set.reduce((sum, other, j) => (j === i ? sum : sum + clash(choice, other)), stray(choice, i));
    for (let sweep = 0; sweep < SWEEPS; sweep++)
      for (let i = 0; i < n; i++)
        set[i] = choices.reduce(
          (kept, choice) => (costOf(choice, i) < costOf(kept, i) ? choice : kept),
          set[i]!,
        );
    // all pairs once, and how far the set is from what was asked for
    const cost = set.reduce(
      (sum, one, i) =>
        sum +
        one.offRuling +
        (apartDeg(one.angleDeg, anglesDeg[i]!) * Math.PI) / 180 +
        set.slice(i + 1).reduce((pairs, other) => pairs + clash(one, other), 0),
      0,
    );
    if (cost < least) [best, least] = [set, cost];
  }
  const screens = best.map(({ cell, rulingLpi: lpi, angleDeg }) => ({ cell, rulingLpi: lpi, angleDeg }));
  return { screens, beats: beatsOf(screens) };
}

/** Moiré of every two screens. */
const beatsOf = (screens: readonly RuledScreen[]): SetBeat[] =>
  screens.flatMap((one, i) =>
    screens.slice(i + 1).map((other, j): SetBeat => {
      const beat = beatOf(one, other);
      return { ...beat, screens: [i, i + 1 + j], seen: isSeen(beat.periodMm) };
    }),
  );
