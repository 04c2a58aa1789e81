import { ENTRY_VERSION, type Entry, entrySchema } from './entry.ts';

/** Turns the value of an entry of one version into that of the next. */
export type Migration = (value: Record<string, unknown>) => Record<string, unknown>;

/** Migrations by the version they start from; each leads one version up. */
const MIGRATIONS: ReadonlyMap<number, Migration> = new Map();

/** A line of a notebook: an entry, or why it cannot be read. It is never thrown away. */
export type Line =
  | { readonly entry: Entry }
  | { readonly fault: 'torn' | 'newer' | 'unknown'; readonly what: string };

/** Steps a value up to the version that is written now; null where a step is missing. */
export function migrated(
  value: Record<string, unknown>,
  migrations: ReadonlyMap<number, Migration> = MIGRATIONS,
  target = ENTRY_VERSION,
): Record<string, unknown> | null {
  let current = value;
  for (let version = current['version']; version !== target; version = current['version']) {
    const step = typeof version === 'number' && version < target ? migrations.get(version) : undefined;
    if (!step) return null;
    current = { ...step(current), version: (version as number) + 1 };
  }
  return current;
}

/**
 * Reads one line. A line that was torn off in the middle, that a newer version has written, or that is no entry, is
 * told and does not hinder the others.
 */
export function readLine(line: string): Line {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return { fault: 'torn', what: 'it ends in the middle, or is not JSON' };
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return { fault: 'unknown', what: 'it is not an entry' };
  const { version } = value as Record<string, unknown>;
  if (typeof version === 'number' && version > ENTRY_VERSION)
    return { fault: 'newer', what: `a newer etchwright wrote it (version ${version})` };
  const current = migrated(value as Record<string, unknown>);
  if (current === null) return { fault: 'unknown', what: 'its version is not known' };
  const parsed = entrySchema.safeParse(current);
  if (parsed.success) return { entry: parsed.data };
  const [issue] = parsed.error.issues;
  return { fault: 'unknown', what: `${issue?.path.join('.') || 'the whole'}: ${issue?.message}` };
}
