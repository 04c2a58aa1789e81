import { type MaterialDef, moreCautious, type OutlineUse, type Status } from './contract.ts';
import { materials } from './index.ts';
import { findName, type Place, wordsOf } from './names.ts';

/** What the program makes of a sheet that somebody describes. It never says yes. */
export interface Judgement {
  readonly verdict: Status;
  /** The kind that decides; null for a sheet not known here. */
  readonly material: MaterialDef | null;
  /** The words that gave it away, as they were read. */
  readonly matched: string | null;
  readonly reason: string;
  readonly engraveOnly: boolean;
  /** The most cautious use of an outline among all kinds found. */
  readonly outlineAs: OutlineUse;
}

const UNKNOWN =
  'Not known here. Find out what face, core, glue and backing are made of; until then leave it out.';

const SEVERITY: Readonly<Record<Status, number>> = { declare: 0, ask: 1, never: 2 };

/** The stricter of two judgements of one sheet, the first if they agree; engrave only if either says so. */
export function stricter(a: Judgement, b: Judgement): Judgement {
  const told = SEVERITY[b.verdict] > SEVERITY[a.verdict] ? b : a;
  return {
    ...told,
    engraveOnly: a.engraveOnly || b.engraveOnly,
    outlineAs: moreCautious(a.outlineAs, b.outlineAs),
  };
}

interface Match {
  readonly material: MaterialDef;
  readonly place: Place;
}

function matchesOf(words: readonly string[], material: MaterialDef): Match[] {
  const named = [material.kind, ...material.names, ...material.disguises].flatMap((name) =>
    findName(words, name),
  );
  const hinted = words.flatMap((word, from) =>
    material.stems.some((stem) => word.includes(stem)) ? [{ from, to: from + 1 }] : [],
  );
  return [...named, ...hinted].map((place) => ({ material, place }));
}

const inside = (small: Place, large: Place): boolean => large.from <= small.from && small.to <= large.to;
const longer = (a: Place, b: Place): boolean => a.to - a.from > b.to - b.from;

/** True if another match tells more of the same words; a refusal gives way only to a kind that speaks for it. */
const overruled = (match: Match, by: Match): boolean =>
  longer(by.place, match.place) &&
  inside(match.place, by.place) &&
  (by.material.overrules.includes(match.material.kind) || match.material.status !== 'never');

/** Never at the machine's wavelength counts as never; an unknown wavelength leaves the entry's own answer. */
function statusAt({ status, neverAtUm }: MaterialDef, wavelengthUm: number | null): Status {
  const hit = neverAtUm !== null && wavelengthUm !== null;
  return hit && wavelengthUm >= neverAtUm.from && wavelengthUm <= neverAtUm.to ? 'never' : status;
}

/**
 * Judges a sheet by what it is called, in free words. Of all kinds found in them the strictest decides; nothing
 * found is a reason to ask. `wavelengthUm` is the machine's, or null if it is not known.
 */
export function judgeMaterial(text: string, wavelengthUm: number | null): Judgement {
  const words = wordsOf(text);
  const all = Object.values(materials).flatMap((material) => matchesOf(words, material));
  const told = all.filter((match) => !all.some((by) => overruled(match, by)));
  const [worst] = told
    .map((match) => ({ ...match, verdict: statusAt(match.material, wavelengthUm) }))
    .sort((a, b) => SEVERITY[b.verdict] - SEVERITY[a.verdict]);
  if (!worst)
    return {
      verdict: 'ask',
      material: null,
      matched: null,
      reason: UNKNOWN,
      engraveOnly: false,
      outlineAs: 'cut',
    };
  return {
    verdict: worst.verdict,
    material: worst.material,
    matched: words.slice(worst.place.from, worst.place.to).join(' '),
    reason: worst.material.reason,
    engraveOnly: told.some(({ material }) => material.engraveOnly),
    outlineAs: told.map(({ material }) => material.outline.as).reduce(moreCautious),
  };
}
