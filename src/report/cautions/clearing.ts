import { type Cleared, isTooDeep, staysShallow } from '../clearing.ts';
import type { Judged } from '../judged.ts';
import type { Caution } from '../schema.ts';
import { num, percent } from '../words.ts';
import { caution } from './index.ts';

/** Less than this share of the minutes is not worth changing files for; from memory. */
const WORTHWHILE = 0.1;

/** Depth goes with the dose, and that with the rows to a millimetre: half the rows, about half the depth; from memory. */
function doseCaution({ clearing, plates }: Cleared, dpi: number): Caution[] {
  const { ratio, finePassMm, clearPassGiven } = clearing;
  if (clearPassGiven || ratio === 1 || plates.length === 0) return [];
  return [
    caution({
      code: 'clearing-dose',
      text: `Clearing plates have ${num(clearing.dpi, 1)} rows to an inch, not ${num(dpi, 1)}: at the same speed and power their passes go about ${num(finePassMm / ratio, 3)} mm deep, not ${num(finePassMm, 3)} (rule of thumb, from memory)`,
      value: Number((finePassMm / ratio).toFixed(4)),
      limit: finePassMm,
      unit: 'mm',
      cure: `Set them to go ${num(finePassMm, 3)} mm deep, tried on an offcut as your room wants it, or say with --clear-pass what they gave.`,
    }),
  ];
}

/** Gaps whose need could be met, but which the insets leave too narrow a floor. */
function shallowCaution(cleared: Cleared): Caution[] {
  const shallow = cleared.gaps.filter((gap) => staysShallow(gap) && !isTooDeep(gap, cleared));
  const [worst] = shallow;
  if (!worst) return [];
  return [
    caution({
      code: 'clearing-shallow',
      text: `${shallow.length} ${shallow.length === 1 ? 'gap stays' : 'gaps stay'} shallower than needed, since the insets leave no floor in them: one of ${num(worst.widthMm)} mm wants ${num(worst.neededMm, 2)} mm and gets ${num(worst.reachedMm, 2)}`,
      value: Number(worst.reachedMm.toFixed(3)),
      limit: Number(worst.neededMm.toFixed(3)),
      unit: 'mm',
      cure: 'Make --clear-inset smaller.',
    }),
  ];
}

/** Why no plate was made: the depth wanted is reached without, or the plate has no ground that wide. */
function nothingBecause({ plan, depth, finePassMm }: Cleared['clearing']): string {
  const { finePasses, steps } = plan;
  const gives = finePasses === 1 ? 'one pass gives' : `${finePasses} passes give`;
  return steps.length === 0 && finePasses * finePassMm >= depth.depthMm! - 1e-9
    ? `The plate itself goes as deep as wanted (${num(depth.depthMm!, 3)} mm)`
    : `No gap needs more depth than ${gives}`;
}

function worthCaution({ plates, withoutS, clearing }: Cleared, totalS: number): Caution[] {
  if (plates.length === 0)
    return [
      caution({
        code: 'nothing-to-clear',
        severity: 'note',
        text: `${nothingBecause(clearing)}, so there is no clearing plate`,
        cure: 'Run the plate as it is; measure the depth before it is moved.',
      }),
    ];
  const saved = 1 - totalS / withoutS;
  if (saved >= WORTHWHILE) return [];
  return [
    caution({
      code: 'clearing-saves-little',
      severity: 'note',
      text: `Clearing plates save ${percent(Math.max(0, saved))} of the minutes on this machine`,
      value: Number((100 * saved).toFixed(1)),
      limit: 100 * WORTHWHILE,
      unit: '%',
      cure: 'A finer --dpi of the plate, or a wider spot, would let them be coarser; or leave --clearing out.',
    }),
  ];
}

/** What clearing plates give rise to. */
export function clearingCautions({
  dpi,
  analysis: { clearing, time },
}: Pick<Judged, 'dpi' | 'analysis'>): Caution[] {
  if (!clearing) return [];
  return [...doseCaution(clearing, dpi), ...shallowCaution(clearing), ...worthCaution(clearing, time.totalS)];
}
