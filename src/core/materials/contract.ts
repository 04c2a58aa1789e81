import type { SafetyTopic } from '../cautions-safety.ts';
import type { processes } from '../processes/index.ts';

/** Where a value comes from. What is only common practice or from memory is for a test plate to replace. */
export type Basis = 'measured' | 'common practice' | 'from memory';

/** A number of a sheet, in the unit that its name ends in. */
export interface Known {
  readonly value: number;
  readonly basis: Basis;
  /** Who measured or says so. */
  readonly source: string;
}

/** What a sheet takes, in mm; the names are those of a workshop's own materials. */
export interface Limits {
  /** Depth that prints well in general. */
  readonly depthMm?: Known;
  readonly depthPerPassMm?: Known;
  /** Relief: thinnest kept line that stands. */
  readonly minWallMm?: Known;
  /** Smallest kept dot (relief), or ground between marks that outlasts wiping (intaglio). */
  readonly minLandMm?: Known;
  /** Smallest etched dot that stays open (relief) or holds ink (intaglio). */
  readonly minMarkMm?: Known;
  /** Relief: thinnest etched line that does not fill with ink. */
  readonly minGapMm?: Known;
  /** Intaglio: widest etched pool that still holds ink. */
  readonly maxPoolMm?: Known;
}

/**
 * How far the program goes along with a sheet: never; only after the workshop was asked; or once it is declared
 * and somebody in the workshop has confirmed it. There is no fourth.
 */
export type Status = 'never' | 'ask' | 'declare';

/**
 * What an outline is drawn as, the most cautious last: a line for a cut; a lightly engraved line to cut along by hand; a
 * template to lay the sheet by.
 */
export const OUTLINE_USES = ['cut', 'guide', 'template'] as const;
/** One of `OUTLINE_USES`. */
export type OutlineUse = (typeof OUTLINE_USES)[number];

/** The more cautious of two. */
export const moreCautious = (a: OutlineUse, b: OutlineUse): OutlineUse =>
  OUTLINE_USES.indexOf(b) > OUTLINE_USES.indexOf(a) ? b : a;

/** Something to see to on a sheet of this kind before it goes in, for the job sheet. */
export interface SheetNote {
  readonly what: string;
  readonly text: string;
  /** What people fill in beside it; null where there is nothing to write. */
  readonly blank: string | null;
}

/** Fine lines across the grain snap; common practice. */
export const GRAIN: SheetNote = {
  what: 'grain',
  text: 'mark its direction on the back; lay fine lines along it',
  blank: 'runs along',
};

/** Fibres lift and drink ink where a board is not sealed (craftysavage.blogspot.com 2012; common practice). */
export const SEALING: SheetNote = {
  what: 'sealing',
  text: 'seal before engraving and let it dry; ask the staff which sealer they agree to',
  blank: 'sealed with',
};

/** One kind of sheet: everything shared code may want to know of it, declared. */
export interface MaterialDef {
  readonly kind: string;
  readonly summary: string;
  readonly status: Status;
  /** Why, in general words: lists of forbidden sheets copy each other's chemistry. */
  readonly reason: string;
  readonly source: string;
  /** What people call it; compared without case, accents, hyphens and plurals. */
  readonly names: readonly string[];
  /** Trade words that hide what it is. */
  readonly disguises: readonly string[];
  /** Parts of words that give it away wherever they stand. */
  readonly stems: readonly string[];
  /** Never-kinds that its names speak for too: "glue-backed lino" is not just any glue-backed sheet. */
  readonly overrules: readonly string[];
  /** Wavelengths at which the answer is never. */
  readonly neverAtUm: { readonly from: number; readonly to: number } | null;
  /** True where it must not be cut through, whoever agrees to engrave it. */
  readonly engraveOnly: boolean;
  /** What an outline is drawn as on it, and who says so. It never says that the sheet may be cut. */
  readonly outline: { readonly as: OutlineUse; readonly source: string };
  readonly processes: readonly (keyof typeof processes)[];
  readonly limits: Limits;
  /** What this sheet brings with it that can hurt, beside what its process does. */
  readonly safety?: readonly SafetyTopic[];
  readonly cautions: readonly string[];
  readonly sheetNotes: readonly SheetNote[];
}

type Told = Pick<MaterialDef, 'kind' | 'summary' | 'status' | 'reason' | 'source' | 'names'>;

/** Fills in what an entry has nothing to say about. */
export const defineMaterial = (def: Told & Partial<MaterialDef>): MaterialDef => ({
  disguises: [],
  stems: [],
  overrules: [],
  neverAtUm: null,
  engraveOnly: false,
  outline: { as: 'cut', source: 'nothing is known against it here; the workshop decides' },
  processes: [],
  limits: {},
  cautions: [],
  sheetNotes: [],
  ...def,
});

/** A number that was measured, by whom its source says. */
export const measured = (value: number, source: string): Known => ({ value, basis: 'measured', source });
/** A number that the trade goes by, with where it is written. */
export const practice = (value: number, source: string): Known => ({
  value,
  basis: 'common practice',
  source,
});
/** A number that nobody has looked up. */
export const memory = (value: number): Known => ({
  value,
  basis: 'from memory',
  source: 'nobody looked it up; print a test plate',
});
