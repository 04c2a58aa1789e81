import type { Knot } from '../core/curve.ts';
import type { SpotCurve } from '../core/screens/spot-curve.ts';
import { FULL_TONE, type SourceCodes, toneTable } from '../core/tone.ts';
import type { Plan } from '../job/plan.ts';
import type { ToneCurves, TonePoint } from '../report/jobsheet/tone-plot.ts';

/** Points of a curve on the sheet. */
const STEPS = 32;

/** Between knots in a straight line; their first values rise. */
function between(knots: readonly Knot[], x: number): number {
  const after = knots.findIndex(([at]) => at >= x);
  if (after <= 0) return (after === 0 ? knots[0] : knots.at(-1))![1];
  const [[x0, y0], [x1, y1]] = [knots[after - 1]!, knots[after]!];
  return y0 + ((x - x0) / (x1 - x0)) * (y1 - y0);
}

/** The way of tone from the picture to the ink of the print: as asked, and as the beam is predicted to make it where a curve says so. */
export function toneCurves(
  codes: SourceCodes,
  { tone, finish }: Pick<Plan, 'tone' | 'finish'>,
  curve: SpotCurve | null,
): ToneCurves {
  const table = toneTable(codes, tone);
  const asked: TonePoint[] = [];
  const predicted: TonePoint[] = [];
  for (let i = 0; i <= STEPS; i++) {
    const picture = i / STEPS;
    const lightness = 1 - picture;
    const code = Math.round(codes.blackCode + lightness * (codes.whiteCode - codes.blackCode));
    const wanted = table[code]!;
    asked.push([picture, wanted / FULL_TONE]);
    if (!curve) continue;
    const filed = curve.table[wanted]! / FULL_TONE;
    // knots speak of what is etched, the plot of what is ink
    predicted.push([
      picture,
      finish.etches === 'ink' ? between(curve.knots, filed) : 1 - between(curve.knots, 1 - filed),
    ]);
  }
  return curve ? { asked, predicted } : { asked };
}
