import type { PlateLayout } from '../../core/geometry.ts';
import type { RegisterTolerance } from '../../core/register/tolerance.ts';
import { caution } from '../cautions/index.ts';
import type { Caution } from '../schema.ts';
import { tidy } from '../tidy.ts';
import { num } from '../words.ts';
import type { SetReport } from './schema.ts';

type RegisterFacts = NonNullable<SetReport['register']>;
type Sliver = RegisterFacts['slivers'][number];

/** How true a set was asked to lie, and how far off plates were tried, in mm. */
interface RegisterAsked {
  readonly aid: string | null;
  readonly trustedMm: number;
  readonly triedMm: number;
}

/** What a set's tolerance comes to, with places on the print from the upper left corner of the canvas. */
export function registerFacts(
  { fitsMm, plate, plates, worst }: RegisterTolerance,
  asked: RegisterAsked,
  names: readonly string[],
  { box }: PlateLayout,
  pitchMm: number,
): RegisterFacts {
  const at = (xPx: number, yPx: number) => ({
    xMm: tidy((box.xPx + xPx) * pitchMm),
    yMm: tidy((box.yPx + yPx) * pitchMm),
  });
  return {
    ...asked,
    fitsMm: fitsMm === null ? null : tidy(fitsMm),
    plate: plate === null ? null : names[plate]!,
    slivers: plates.map(({ first, ...one }, index) => ({
      plate: names[index]!,
      fitsMm: one.fitsMm === null ? null : tidy(one.fitsMm),
      first: first && { ...at(first.xPx, first.yPx), way: first.way },
      bareMm2: tidy(one.sliverMm2),
      way: one.sliverWay,
      overlapMm2: tidy(one.overlapMm2),
    })),
    worst: worst && {
      ...at(worst.left, worst.top),
      widthMm: tidy((worst.right - worst.left) * pitchMm),
      heightMm: tidy((worst.bottom - worst.top) * pitchMm),
      areaMm2: tidy(worst.areaMm2),
    },
  };
}

/** How well the plates fit, in a few words: "fits to ± 0.3 mm, then lamps bares paper at 12, 30 mm". */
export function registerWords({ fitsMm, triedMm, plate, slivers }: RegisterFacts): string {
  if (fitsMm === null) return `shows no paper between inks with any plate ${num(triedMm, 2)} mm off`;
  const { first } = slivers.find((one) => one.plate === plate)!;
  return `fits to ± ${num(fitsMm, 2)} mm; further ${first!.way}, ${plate} bares paper at ${num(first!.xMm, 1)}, ${num(first!.yMm, 1)} mm`;
}

/** One plate of a set that lies off, in letters that maps have. */
export function plateSlipWords({ plate, fitsMm, bareMm2, way }: Sliver, trustedMm: number): string {
  const off = `${num(trustedMm, 2)} mm off, ${way}, it bares ${num(bareMm2, 2)} square mm`;
  return fitsMm === null ? `${plate}: ${off}` : `${plate}: fits to ${num(fitsMm, 2)} mm; ${off}`;
}

/** Where most paper shows, and how much each plate bares, as far off as the laying is trusted. */
export function worstWords({ worst, trustedMm, slivers }: RegisterFacts): string | null {
  if (!worst) return null;
  const { xMm, yMm, widthMm, heightMm, areaMm2 } = worst;
  const each = slivers.filter(({ bareMm2 }) => bareMm2 > 0);
  const told = each.map(({ plate, bareMm2, way }) => `${plate} ${num(bareMm2, 2)} mm² (${way})`);
  return `With one plate ${num(trustedMm, 2)} mm off most paper shows at ${num(xMm, 1)}, ${num(yMm, 1)} mm, in ${num(widthMm, 1)} × ${num(heightMm, 1)} mm (${num(areaMm2, 2)} mm²). Bared in the worst direction: ${told.join(', ')}`;
}

export function registerCautions(register: SetReport['register']): Caution[] {
  if (!register || register.fitsMm === null || register.fitsMm >= register.trustedMm) return [];
  const { aid, fitsMm, trustedMm, plate, slivers, worst } = register;
  const bareMm2 = Math.max(...slivers.map((one) => one.bareMm2));
  const where = worst ? `, the largest at ${num(worst.xMm, 1)}, ${num(worst.yMm, 1)} mm` : '';
  return [
    caution({
      code: 'register-tight',
      severity: 'warn',
      text: `The set fits to ± ${num(fitsMm, 2)} mm, then ${plate} bares paper; ${aid ? `by ${aid} prints` : 'prints laid with care'} lie true to ${num(trustedMm, 2)} mm, which bares up to ${num(bareMm2, 2)} mm²${where}`,
      value: fitsMm,
      limit: trustedMm,
      unit: 'mm',
      cure: 'Let colours spread further under each other (--trap, --overlap), or choose a truer way of laying.',
    }),
  ];
}
