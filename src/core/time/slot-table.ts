/** One pass of a sheet: it is run whole or not at all. */
export interface SheetPass {
  readonly timeS: number;
  readonly kind: 'fine' | 'clearing';
}

/** What lies on the bed at once, with its passes in their order. */
export interface Sheet {
  readonly passes: readonly SheetPass[];
}

/** The booked slots in the order of the calendar; seconds. */
export interface SlotRules {
  readonly slotsS: readonly number[];
  /** To change one sheet for another. */
  readonly changeS: number;
  /** Kept free in every slot, for setting up and for what goes wrong. */
  readonly reserveS: number;
}

/** Passes of one sheet in each slot: the first `counts[0]` in the first slot, the next in the second, and so on. */
export type Counts = readonly number[];

/** Rounding of sums of seconds must not push a pass out of a slot. */
const SLACK_S = 1e-6;

/** Time of all passes of a sheet. */
export const totalS = ({ passes }: Sheet): number => passes.reduce((sum, { timeS }) => sum + timeS, 0);

/** The booked slots while sheets are put in and taken out again, the last one first. */
export interface SlotTable {
  /** Time left for one more sheet in a slot, the change to it taken off; negative where there is none. */
  roomS(slot: number): number;
  /** Time left in all slots together, no change taken off. */
  allRoomS(): number;
  slotsUsed(): number;
  put(sheet: Sheet, counts: Counts): void;
  takeOut(sheet: Sheet, counts: Counts): void;
  /** How many of a sheet's passes, from one on, fit into a slot. */
  mostIn(sheet: Sheet, from: number, slot: number): number;
}

/** A table of empty slots, each short of its reserve. */
export function openTable({ slotsS, changeS, reserveS }: SlotRules): SlotTable {
  const freeS = slotsS.map((slotS) => slotS - reserveS);
  const sheetsIn = slotsS.map(() => 0);
  const changeTo = (slot: number): number => (sheetsIn[slot]! > 0 ? changeS : 0);
  const move = (slot: number, timeS: number, sign: 1 | -1): void => {
    if (sign < 0) sheetsIn[slot]!--;
    freeS[slot]! -= sign * (timeS + changeTo(slot));
    if (sign > 0) sheetsIn[slot]!++;
  };
  const moveAll = ({ passes }: Sheet, counts: Counts, sign: 1 | -1): void => {
    let from = 0;
    for (const [slot, n] of counts.entries()) {
      if (n > 0) move(slot, totalS({ passes: passes.slice(from, from + n) }), sign);
      from += n;
    }
  };
  const roomS = (slot: number): number => freeS[slot]! - changeTo(slot) + SLACK_S;
  return {
    roomS,
    allRoomS: () => freeS.reduce((sum, s) => sum + Math.max(0, s), 0) + SLACK_S,
    slotsUsed: () => sheetsIn.filter((n) => n > 0).length,
    put: (sheet, counts) => moveAll(sheet, counts, 1),
    takeOut: (sheet, counts) => moveAll(sheet, counts, -1),
    mostIn({ passes }, from, slot) {
      let leftS = roomS(slot);
      let most = 0;
      while (from + most < passes.length && passes[from + most]!.timeS <= leftS)
        leftS -= passes[from + most++]!.timeS;
      return most;
    },
  };
}

/** A sheet dealt to the slots at its first fit: whole where one has room for it, else as much in each as fits; null where it does not. */
export function firstFit(sheet: Sheet, slots: number, table: SlotTable): Counts | null {
  const whole = sheet.passes.length;
  for (let slot = 0; slot < slots; slot++)
    if (table.mostIn(sheet, 0, slot) === whole)
      return Array.from({ length: slots }, (_, at) => (at === slot ? whole : 0));
  let done = 0;
  const counts = Array.from({ length: slots }, (_, slot) => {
    const n = table.mostIn(sheet, done, slot);
    done += n;
    return n;
  });
  return done === whole ? counts : null;
}

/**
 * Every way of dealing a sheet's passes to slots with room, in their order: whole ones first, then two pieces and so on.
 * `look` is asked at every step and ends it by giving false.
 */
export function* dealings(
  sheet: Sheet,
  slots: number,
  table: SlotTable,
  look: () => boolean,
): Generator<Counts> {
  const whole = sheet.passes.length;
  const counts = new Array<number>(slots).fill(0);
  function* deal(slot: number, done: number, pieces: number): Generator<Counts> {
    for (let at = slot; at < slots; at++) {
      if (!look()) return;
      const most = table.mostIn(sheet, done, at);
      const least = pieces === 1 ? whole - done : 1;
      for (let n = Math.min(most, whole - done - pieces + 1); n >= least; n--) {
        counts[at] = n;
        if (pieces === 1) yield [...counts];
        else yield* deal(at + 1, done + n, pieces - 1);
      }
      counts[at] = 0;
    }
  }
  for (let pieces = 1; pieces <= Math.min(whole, slots); pieces++) yield* deal(0, 0, pieces);
}
