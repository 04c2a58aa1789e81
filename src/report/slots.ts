import type { SlotRules } from '../core/time/slot-table.ts';
import { planSlots, type SlotPart, slotsNeeded } from '../core/time/slots.ts';
import type { SlotsReport, TimedReport } from './slots-schema.ts';
import { tidy } from './tidy.ts';

/** One sheet to be planned: how people know it, and its passes. */
export type NamedSheet = SlotsReport['sheets'][number];

/**
 * The sheets that a report tells of, with the time of every pass; null where it knows no time. Where it knows of no passes there
 * is one; a report of several sheets has the same passes for each.
 */
export function sheetsOf(name: string, { passes, time, sheets }: TimedReport): NamedSheet[] | null {
  const count = passes?.count ?? 1;
  const several = sheets?.map(({ number, time: own }, n) =>
    named(sheets.length === 1 ? name : `${name} sheet ${number ?? n + 1}`, evenPasses(count, own?.perPassS)),
  );
  const found = several ?? [named(name, plannedPasses(count, passes ?? null, time?.perPassS))];
  return found.every((sheet) => sheet !== null) ? found : null;
}

type Passes = NamedSheet['passes'];

function named(name: string, passes: Passes | null): NamedSheet | null {
  return passes && { name, totalS: tidy(passes.reduce((sum, { timeS }) => sum + timeS, 0)), passes };
}

const evenPasses = (count: number, timeS: number | undefined): Passes | null =>
  timeS === undefined
    ? null
    : Array.from({ length: count }, () => ({ kind: 'fine', dpi: null, file: null, timeS }));

/** Passes as they are planned; one whose time is not told takes as long as any. */
function plannedPasses(
  count: number,
  passes: NonNullable<TimedReport['passes']> | null,
  perPassS: number | undefined,
): Passes | null {
  const plan = passes?.plan ?? [];
  if (plan.length === 0) return evenPasses(count, perPassS);
  const fine = passes?.clearing?.finePasses ?? plan.length;
  const told = plan.map(({ dpi = null, file = null, timeS }, n) => ({
    kind: n < fine ? ('fine' as const) : ('clearing' as const),
    dpi,
    file,
    timeS: timeS ?? perPassS ?? Number.NaN,
  }));
  return told.some(({ timeS }) => Number.isNaN(timeS)) ? null : told;
}

/** Plans the sheets into the slots, and says what comes of it. */
export function slotsReport(sheets: readonly NamedSheet[], rules: SlotRules): SlotsReport {
  const plan = planSlots(sheets, rules);
  const { slotsS, changeS, reserveS } = rules;
  const needed = slotsNeeded(sheets, rules);
  const timeOf = ({ sheet, from, to }: SlotPart): number =>
    sheets[sheet]!.passes.slice(from, to).reduce((sum, { timeS }) => sum + timeS, 0);
  return {
    schema: 'etchwright/slots',
    version: 1,
    fits: plan.dropped.length === 0,
    best: plan.isBest,
    changeS,
    reserveS,
    sheets: [...sheets],
    slots: plan.slots.map((parts, slot) => {
      const lengthS = slotsS[slot]!;
      const changesS = changeS * Math.max(0, parts.length - 1);
      const usedS = parts.reduce((sum, part) => sum + timeOf(part), changesS);
      return {
        lengthS,
        usedS: tidy(usedS),
        spareS: tidy(lengthS - reserveS - usedS),
        parts: parts.map((part) => ({
          sheet: part.sheet,
          name: sheets[part.sheet]!.name,
          fromPass: part.from + 1,
          toPass: part.to,
          timeS: tidy(timeOf(part)),
        })),
      };
    }),
    parted: plan.slots.flat().flatMap(({ sheet, from }) => {
      const { name, passes } = sheets[sheet]!;
      return from === 0 ? [] : [{ name, beforePass: from + 1, kind: passes[from]!.kind }];
    }),
    dropped: plan.dropped.map((n) => ({ name: sheets[n]!.name, totalS: sheets[n]!.totalS })),
    needed: needed === null ? null : { slots: needed, ofS: Math.max(...slotsS) },
  };
}
