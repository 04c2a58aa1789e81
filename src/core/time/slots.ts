import {
  type Counts,
  dealings,
  firstFit,
  openTable,
  type Sheet,
  type SlotRules,
  totalS,
} from './slot-table.ts';

/** Passes [from, to) of a sheet in one slot. */
export interface SlotPart {
  readonly sheet: number;
  readonly from: number;
  readonly to: number;
}

/** Sheets dealt to booked slots. */
export interface SlotPlan {
  /** What is run in each slot, in the order of the slots and of the work. */
  readonly slots: readonly (readonly SlotPart[])[];
  /** Sheets that find no room, by their number. */
  readonly dropped: readonly number[];
  /** False where the search ended early: then a better plan may exist. */
  readonly isBest: boolean;
}

/** Places looked at before the best so far must do. */
const MOST_LOOKS = 200_000;

/** Where each sheet's passes go; null for one that is left out. */
type Dealt = readonly (Counts | null)[];

/** What speaks against a plan, the gravest first. */
type Cost = readonly [
  sheetsDropped: number,
  droppedS: number,
  fineSplits: number,
  splits: number,
  slotsUsed: number,
];

const isLess = (a: Cost, b: Cost): boolean => {
  for (let i = 0; i < a.length; i++) if (Math.abs(a[i]! - b[i]!) > 1e-6) return a[i]! < b[i]!;
  return false;
};

/** The cost of one sheet, without the slots: parted between two passes of the plate itself, which must meet to the pixel, it costs most. */
function costOf(sheet: Sheet, counts: Counts | null): Cost {
  if (counts === null) return [1, totalS(sheet), 0, 0, 0];
  let [done, fine, all] = [0, 0, 0];
  for (const n of counts) {
    if (n > 0 && done > 0) {
      all++;
      if (sheet.passes[done]!.kind === 'fine') fine++;
    }
    done += n;
  }
  return [0, 0, fine, all, 0];
}

const sum = (a: Cost, b: Cost): Cost => [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3], a[4] + b[4]];

/**
 * Plans sheets into booked slots: the fewest left out, of those the shortest; no sheet parted that need not be, least of all
 * between two passes of the plate itself; then the fewest slots. First the longest sheet at its first fit and so on (first-fit
 * decreasing) and the other way round, then every other way as long as it may still win: the best there is for few sheets, the best found in a fixed
 * number of looks for many. A sheet is run to its last pass or left out.
 */
export function planSlots(sheets: readonly Sheet[], rules: SlotRules, mostLooks = MOST_LOOKS): SlotPlan {
  const slots = rules.slotsS.length;
  const order = sheets.map((_, n) => n).sort((a, b) => totalS(sheets[b]!) - totalS(sheets[a]!) || a - b);
  const table = openTable(rules);
  let looks = 0;
  const look = (): boolean => ++looks <= mostLooks;

  const chosen: (Counts | null)[] = sheets.map(() => null);
  let best: Dealt = [];
  let bestCost: Cost = [Number.POSITIVE_INFINITY, 0, 0, 0, 0];
  const keepIfBetter = (cost: Cost): void => {
    if (!isLess(cost, bestCost)) return;
    best = [...chosen];
    bestCost = cost;
  };
  // the longest first fill slots best; where not all fit, the shortest first leave the fewest out
  for (const inTurn of [order, order.toReversed()]) {
    let cost: Cost = [0, 0, 0, 0, 0];
    for (const n of inTurn) {
      const counts = firstFit(sheets[n]!, slots, table);
      if (counts) table.put(sheets[n]!, counts);
      chosen[n] = counts;
      cost = sum(cost, costOf(sheets[n]!, counts));
    }
    keepIfBetter(sum(cost, [0, 0, 0, 0, table.slotsUsed()]));
    for (const n of inTurn.toReversed()) if (chosen[n]) table.takeOut(sheets[n]!, chosen[n]!);
  }

  /** Fewest sheets from `next` on that find no room even without a change: the longest would have to go. */
  const leastDropped = (next: number): number => {
    let roomS = table.allRoomS();
    for (const n of order.slice(next)) roomS -= totalS(sheets[n]!);
    let dropped = 0;
    for (; roomS < 0 && next + dropped < order.length; dropped++)
      roomS += totalS(sheets[order[next + dropped]!]!);
    return dropped;
  };

  const search = (next: number, soFar: Cost): void => {
    const least = sum(soFar, [leastDropped(next), 0, 0, 0, table.slotsUsed()]);
    if (!isLess(least, bestCost)) return;
    if (next === order.length) {
      keepIfBetter(least);
      return;
    }
    const n = order[next]!;
    const sheet = sheets[n]!;
    for (const counts of dealings(sheet, slots, table, look)) {
      table.put(sheet, counts);
      chosen[n] = counts;
      search(next + 1, sum(soFar, costOf(sheet, counts)));
      table.takeOut(sheet, counts);
      if (looks > mostLooks) return;
    }
    chosen[n] = null;
    search(next + 1, sum(soFar, costOf(sheet, null)));
  };
  search(0, [0, 0, 0, 0, 0]);

  return {
    slots: rules.slotsS.map((_, slot) => partsIn(best, slot)),
    dropped: best.flatMap((counts, n) => (counts === null ? [n] : [])),
    isBest: looks <= mostLooks,
  };
}

/** The parts of one slot: first what was begun in an earlier one, last what goes on in a later one. */
function partsIn(dealt: Dealt, slot: number): SlotPart[] {
  const parts = dealt.flatMap((counts, sheet) => {
    const n = counts?.[slot] ?? 0;
    if (counts === null || n === 0) return [];
    const from = counts.slice(0, slot).reduce((passes, more) => passes + more, 0);
    const goesOn = counts.slice(slot + 1).some((more) => more > 0);
    const place = from > 0 ? 0 : goesOn ? 2 : 1;
    return [{ part: { sheet, from, to: from + n }, place }];
  });
  return parts.sort((a, b) => a.place - b.place).map(({ part }) => part);
}

/** Slots beyond which nobody books for one list of sheets, and looks at each number of more than there are. */
const MOST_SLOTS = 200;
const LOOKS_EACH = 5000;

/**
 * Slots into which all sheets go if more of the longest kind are booked after those there are; null where a pass is longer than any
 * slot, or where no number that anybody would book is enough.
 */
export function slotsNeeded(sheets: readonly Sheet[], rules: SlotRules): number | null {
  const longestS = Math.max(...rules.slotsS);
  const alone = openTable({ ...rules, slotsS: [longestS] });
  const isTooLong = sheets.some((sheet) =>
    sheet.passes.some((_, from) => alone.mostIn(sheet, from, 0) === 0),
  );
  if (isTooLong) return null;
  for (let more = 0; rules.slotsS.length + more <= MOST_SLOTS; more++) {
    const slotsS = [...rules.slotsS, ...new Array<number>(more).fill(longestS)];
    const looks = more === 0 ? MOST_LOOKS : LOOKS_EACH;
    if (planSlots(sheets, { ...rules, slotsS }, looks).dropped.length === 0) return slotsS.length;
  }
  return null;
}
