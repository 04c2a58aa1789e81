import type { RunEntry } from './entry.ts';
import { kindOf } from './kinds/index.ts';

/** One thing in which two entries differ; null where one of them has no such thing. */
export interface Change {
  readonly what: string;
  readonly from: unknown;
  readonly to: unknown;
}

/** What changed between two tries, and what that did. */
export interface Comparison {
  /** False for entries of different kinds, of which only what both have is compared. */
  readonly sameKind: boolean;
  /** Null where one of them has no bits of its own, or they are of several sheets. */
  readonly sameBits: boolean | null;
  /** Settings, sheet, machine, picture, version: what was done otherwise. */
  readonly changed: readonly Change[];
  /** Coverage, time, hold: what came of it. */
  readonly came: readonly Change[];
  /** Cautions that only the second, and only the first has; of different kinds none, since each has its own. */
  readonly newCautions: readonly string[];
  readonly goneCautions: readonly string[];
}

type Facts = Readonly<Record<string, unknown>>;

const same = (a: unknown, b: unknown): boolean => a === b || JSON.stringify(a) === JSON.stringify(b);

function changes(from: Facts, to: Facts, onlyBoth: boolean): Change[] {
  return [...new Set([...Object.keys(from), ...Object.keys(to)])].flatMap((what) => {
    const [a, b] = [from[what] ?? null, to[what] ?? null];
    return same(a, b) || (onlyBoth && !(what in from && what in to)) ? [] : [{ what, from: a, to: b }];
  });
}

const doneBy = (entry: RunEntry): Facts => ({
  command: entry.command,
  ...kindOf(entry).did(entry),
  machine: entry.machine,
  material: entry.material?.id,
  batch: entry.material?.batch,
  version: entry.tool.version,
  algorithms: entry.tool.engine.algorithms,
  sharp: entry.tool.engine.sharp,
  libvips: entry.tool.engine.libvips,
});

const cameOf = (entry: RunEntry): Facts => ({ made: entry.made, ...kindOf(entry).came(entry) });

const bitsOf = (entry: RunEntry): string | null => kindOf(entry).brief(entry).bitsSha256;

/** Compares two entries; what is the same in both is left out. */
export function compareEntries(from: RunEntry, to: RunEntry): Comparison {
  // a caution that both have is no change, whatever its figures: those stand with the hold
  const without = ({ cautions }: RunEntry, other: RunEntry): string[] =>
    cautions.flatMap(({ code, text }) => (other.cautions.some((one) => one.code === code) ? [] : [text]));
  const sameKind = from.kind === to.kind;
  const [a, b] = [bitsOf(from), bitsOf(to)];
  return {
    sameKind,
    sameBits: a === null || b === null ? null : a === b,
    changed: changes(doneBy(from), doneBy(to), !sameKind),
    came: changes(cameOf(from), cameOf(to), !sameKind),
    newCautions: sameKind ? without(to, from) : [],
    goneCautions: sameKind ? without(from, to) : [],
  };
}
