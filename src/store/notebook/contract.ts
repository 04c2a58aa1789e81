import type * as z from 'zod';

/** What lists, tables and searches know of an entry, whatever kind it is; null where its kind has no such thing. */
export interface Brief {
  readonly process: string;
  readonly widthMm: number | null;
  readonly heightMm: number | null;
  readonly dpi: number;
  readonly screen: string;
  readonly rulingLpi: unknown;
  /** All settings of it, for measures that are looked for. */
  readonly settings: Readonly<Record<string, unknown>>;
  readonly picture: string | null;
  readonly press: string | null;
  readonly curve: string | null;
  /** Shares, 0…1. */
  readonly etched: number | null;
  readonly predicted: number | null;
  readonly passes: number | null;
  /** All passes together, as estimated. */
  readonly timeS: number | null;
  readonly bitsSha256: string | null;
  /** Further words that people may look for. */
  readonly words: readonly string[];
}

/** One kind of run that leaves entries. */
export interface EntryKind<Schema extends z.ZodObject> {
  readonly kind: string;
  /** What people call it, and what a column of 5 letters does. */
  readonly called: string;
  readonly short: string;
  /** The word for an entry that is not `made`. */
  readonly unmade: string;
  readonly schema: Schema;
  brief(entry: z.output<Schema>): Brief;
  /** What was done, besides what every run tells: its settings, its inputs. */
  did(entry: z.output<Schema>): Readonly<Record<string, unknown>>;
  /** What came of it. */
  came(entry: z.output<Schema>): Readonly<Record<string, unknown>>;
}

/** An entry kind as shared code sees it. */
export type AnyEntryKind = EntryKind<z.ZodObject>;

export const defineEntryKind = <Schema extends z.ZodObject>(kind: EntryKind<Schema>): EntryKind<Schema> =>
  kind;
