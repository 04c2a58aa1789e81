import { MM_PER_INCH } from '../../core/geometry.ts';
import { beatOf, type RuledScreen } from '../../core/screens/beat.ts';
import { startSheets } from '../../core/start-sheets.ts';
import type { Report } from '../schema.ts';
import { tidy } from '../tidy.ts';
import type { SetReport } from './schema.ts';

/** Ruling and angle of a plate's screen as achieved; null where it has none. */
function ruledOf({ screen }: Report): RuledScreen | null {
  const { rulingLpi, angleDeg } = screen;
  return typeof rulingLpi === 'number' && typeof angleDeg === 'number' ? { rulingLpi, angleDeg } : null;
}

/** What every two ruled screens of a set do together. */
export function beatsOf(plates: SetReport['plates']): SetReport['beats'] {
  const ruled = plates.flatMap(({ name, report }) => {
    const screen = ruledOf(report);
    return screen ? [{ name, screen }] : [];
  });
  return ruled.flatMap((one, index) =>
    ruled.slice(index + 1).map((other) => {
      const { angleDeg, periodMm } = beatOf(one.screen, other.screen);
      return {
        plates: [one.name, other.name] as [string, string],
        angleDeg: tidy(angleDeg),
        rowsMm: tidy(MM_PER_INCH / Math.min(one.screen.rulingLpi, other.screen.rulingLpi)),
        periodMm: Number.isFinite(periodMm) ? tidy(periodMm) : null,
      };
    }),
  );
}

export function sheetsOf(
  edition: number | undefined,
  proofs: number,
  lossPercent: number,
  printings: number,
): SetReport['sheets'] {
  if (edition === undefined) return null;
  const start = startSheets(edition + proofs, printings, lossPercent / 100);
  return { edition, proofs, lossPercent, printings, start };
}

/** Time of all plates, and how many slots they take in their order, none divided over two. */
export function totalsOf(plates: SetReport['plates']): SetReport['totals'] {
  const times = plates.map(({ report }) => report.time);
  if (times.some((time) => time === null)) return { timeS: null, slots: null };
  const known = times as NonNullable<Report['time']>[];
  const timeS = tidy(known.reduce((sum, { totalS }) => sum + totalS, 0));
  if (known.some(({ fits }) => !fits)) return { timeS, slots: null };
  let slots = 0;
  let left = 0;
  for (const { totalS, slotS } of known) {
    if (totalS > left) {
      slots++;
      left = slotS;
    }
    left -= totalS;
  }
  return { timeS, slots };
}
