import type * as z from 'zod';

/** Turns the value of an entry of one version into that of the next. */
export type Migration = (value: Record<string, unknown>) => Record<string, unknown>;

/** What the lines of a record hold. */
export interface LineRules<Entry> {
  readonly schema: z.ZodType<Entry>;
  /** The version that is written; older ones are brought up to it when read. */
  readonly version: number;
  /** Migrations by the version they start from; each leads one version up. */
  readonly migrations: ReadonlyMap<number, Migration>;
}

/**
 * A line of a record: an entry, or why it cannot be read. It is never thrown away. `behindTear` is true where an entry
 * that was torn off stands before it in the same line.
 */
export type Line<Entry> =
  | { readonly entry: Entry; readonly behindTear?: true }
  | { readonly fault: 'torn' | 'newer' | 'unknown'; readonly what: string };

/** A line that is no entry, and where it stands. */
export interface Fault {
  readonly line: number;
  readonly fault: 'torn' | 'newer' | 'unknown';
  readonly what: string;
}

/** Steps a value up to the version that is written now; null where a step is missing. */
export function migrated(
  value: Record<string, unknown>,
  { migrations, version: target }: Pick<LineRules<unknown>, 'migrations' | 'version'>,
): Record<string, unknown> | null {
  let current = value;
  for (let version = current['version']; version !== target; version = current['version']) {
    const step = typeof version === 'number' && version < target ? migrations.get(version) : undefined;
    if (!step) return null;
    current = { ...step(current), version: (version as number) + 1 };
  }
  return current;
}

/** How every entry begins, as it is written. */
export const ENTRY_START = '{"version":';

/** The entry at the end of a line whose beginning is torn: a writer was killed at the very moment that another added a line. */
function entryBehindTear<Entry>(line: string, rules: LineRules<Entry>): Line<Entry> | null {
  for (let at = line.lastIndexOf(ENTRY_START); at > 0; at = line.lastIndexOf(ENTRY_START, at - 1)) {
    let value: unknown;
    try {
      value = JSON.parse(line.slice(at));
    } catch {
      continue;
    }
    const read = readValue(value, rules);
    if ('entry' in read) return { ...read, behindTear: true };
  }
  return null;
}

/**
 * Reads one line. A line that was torn off in the middle, that a newer version has written, or that is no entry, is
 * told and does not hinder the others.
 */
export function readLine<Entry>(line: string, rules: LineRules<Entry>): Line<Entry> {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return entryBehindTear(line, rules) ?? { fault: 'torn', what: 'it ends in the middle, or is not JSON' };
  }
  return readValue(value, rules);
}

function readValue<Entry>(value: unknown, rules: LineRules<Entry>): Line<Entry> {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return { fault: 'unknown', what: 'it is not an entry' };
  const { version } = value as Record<string, unknown>;
  if (typeof version === 'number' && version > rules.version)
    return { fault: 'newer', what: `a newer etchwright wrote it (version ${version})` };
  const current = migrated(value as Record<string, unknown>, rules);
  if (current === null) return { fault: 'unknown', what: 'its version is not known' };
  const parsed = rules.schema.safeParse(current);
  if (parsed.success) return { entry: parsed.data };
  const [issue] = parsed.error.issues;
  return { fault: 'unknown', what: `${issue?.path.join('.') || 'the whole'}: ${issue?.message}` };
}

/** Reads lines in their order and numbers the entries; what cannot be read is told to `onFault` and takes no number. */
export function openNumbering<Entry>(rules: LineRules<Entry>, onFault: (fault: Fault) => void) {
  let line = 0;
  let number = 0;
  return (text: string): { readonly number: number; readonly entry: Entry } | null => {
    line++;
    if (text.trim() === '') return null;
    const read = readLine(text, rules);
    if ('fault' in read) {
      onFault({ line, ...read });
      return null;
    }
    if (read.behindTear)
      onFault({
        line,
        fault: 'torn',
        what: 'only its beginning, which ends in the middle; the entry behind it is read',
      });
    number++;
    return { number, entry: read.entry };
  };
}
