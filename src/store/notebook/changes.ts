import type { PlateEntry } from './entry.ts';

/** One thing in which two entries differ; null where one of them has no such thing. */
export interface Change {
  readonly what: string;
  readonly from: unknown;
  readonly to: unknown;
}

/** What changed between two tries, and what that did. */
export interface Comparison {
  readonly sameBits: boolean;
  /** Settings, sheet, machine, picture, version: what was done otherwise. */
  readonly changed: readonly Change[];
  /** Coverage, time, hold: what came of it. */
  readonly came: readonly Change[];
  /** Cautions that only the second, and only the first has. */
  readonly newCautions: readonly string[];
  readonly goneCautions: readonly string[];
}

const same = (a: unknown, b: unknown): boolean => a === b || JSON.stringify(a) === JSON.stringify(b);

function changes(from: Readonly<Record<string, unknown>>, to: Readonly<Record<string, unknown>>): Change[] {
  return [...new Set([...Object.keys(from), ...Object.keys(to)])].flatMap((what) => {
    const [a, b] = [from[what] ?? null, to[what] ?? null];
    return same(a, b) ? [] : [{ what, from: a, to: b }];
  });
}

const doneBy = (entry: PlateEntry): Record<string, unknown> => ({
  command: entry.command,
  picture: entry.input.name,
  pictureSha256: entry.input.sha256,
  ...entry.job,
  machine: entry.machine,
  press: entry.press,
  material: entry.material?.id,
  batch: entry.material?.batch,
  curve: entry.curve?.name,
  curveSha256: entry.curve?.sha256,
  version: entry.tool.version,
  algorithms: entry.tool.engine.algorithms,
  sharp: entry.tool.engine.sharp,
  libvips: entry.tool.engine.libvips,
});

const cameOf = (entry: PlateEntry): Record<string, unknown> => ({
  made: entry.made,
  etched: entry.coverage.etched,
  predicted: entry.coverage.predicted,
  inked: entry.coverage.inked,
  passes: entry.passes,
  timeS: entry.timeS,
  ...Object.fromEntries(
    (entry.hold ?? []).flatMap(({ code, count, worstMm }) => [
      [`${code}: places`, count],
      [`${code}: worst mm`, worstMm],
    ]),
  ),
});

/** Compares two entries; what is the same in both is left out. */
export function compareEntries(from: PlateEntry, to: PlateEntry): Comparison {
  // a caution that both have is no change, whatever its figures: those stand with the hold
  const without = ({ cautions }: PlateEntry, other: PlateEntry): string[] =>
    cautions.flatMap(({ code, text }) => (other.cautions.some((one) => one.code === code) ? [] : [text]));
  return {
    sameBits: from.bitsSha256 === to.bitsSha256,
    changed: changes(doneBy(from), doneBy(to)),
    came: changes(cameOf(from), cameOf(to)),
    newCautions: without(to, from),
    goneCautions: without(from, to),
  };
}
