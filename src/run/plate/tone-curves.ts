import { type Knot, monotoneCurve } from '../../core/curve.ts';
import type { SpotCurve } from '../../core/screens/spot-curve.ts';
import { FULL_TONE, type SourceCodes, toneTable } from '../../core/tone.ts';
import type { Plan } from '../../job/plan.ts';
import type { ToneCurves, TonePoint } from '../../report/jobsheet/tone-plot.ts';

/** Points of a curve on the sheet. */
const STEPS = 32;
/** Every so many of them is a dot of what was measured. */
const DOT_STEPS = 4;

/** Between knots in a straight line; their first values rise. */
function between(knots: readonly Knot[], x: number): number {
  const after = knots.findIndex(([at]) => at >= x);
  if (after <= 0) return (after === 0 ? knots[0] : knots.at(-1))![1];
  const [[x0, y0], [x1, y1]] = [knots[after - 1]!, knots[after]!];
  return y0 + ((x - x0) / (x1 - x0)) * (y1 - y0);
}

/** What is known of the way of a plate's tones. */
export interface KnownTones {
  /** The curve through the spot that they went through. */
  readonly spot: SpotCurve | null;
  /** Knots of the measured curve that they went through: ink tone of the file, ink tone of its print. */
  readonly measured: readonly Knot[] | null;
  /** True where the screen itself books what a known spot adds, so that tones are etched as asked. */
  readonly arrives: boolean;
}

/**
 * The way of tone from the picture to the ink of the print: as asked, as the beam is predicted to make it, and, through a
 * measured curve, as its proof says that it prints. What is not known is left out.
 */
export function toneCurves(
  codes: SourceCodes,
  { tone, finish }: Pick<Plan, 'tone' | 'finish'>,
  { spot, measured, arrives }: KnownTones,
): ToneCurves {
  const table = toneTable(codes, tone);
  const printed = measured && monotoneCurve(measured);
  const wantedOf = (picture: number): number =>
    table[Math.round(codes.blackCode + (1 - picture) * (codes.whiteCode - codes.blackCode))]!;
  const points = (got: (wanted: number) => number): TonePoint[] =>
    Array.from({ length: STEPS + 1 }, (_, i) => [i / STEPS, got(wantedOf(i / STEPS))]);
  const throughSpot = (wanted: number): number => {
    const filed = spot!.table[wanted]! / FULL_TONE;
    // knots speak of what is etched, the plot of what is ink
    return finish.etches === 'ink' ? between(spot!.knots, filed) : 1 - between(spot!.knots, 1 - filed);
  };
  const asked = points((wanted) => wanted / FULL_TONE);
  return {
    asked,
    ...(spot ? { predicted: points(throughSpot) } : arrives ? { predicted: asked } : {}),
    // each dot is a tone that the proof had, so few
    ...(printed
      ? {
          measured: points((wanted) => printed.at(printed.inverse(wanted / FULL_TONE))).filter(
            (_, i) => i % DOT_STEPS === 0,
          ),
        }
      : {}),
  };
}
