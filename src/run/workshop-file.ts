import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { JobError } from '../core/errors.ts';
import { openFileSet } from '../io/atomic.ts';
import { isThere } from '../io/is-there.ts';
import { readJsonObject } from '../io/json-file.ts';
import type { Owner } from '../io/owner.ts';
import { workshopJsonSchema } from '../job/json-schema.ts';
import type { KnownWorkshop } from '../job/making.ts';
import { type Workshop, workshopSchema } from '../job/workshop.ts';
import { startingWorkshop } from '../job/workshop-start.ts';

/** The workshop file of a folder. */
const WORKSHOP_FILE = 'etchwright.workshop.json';

const SCHEMA_FILE = 'etchwright.workshop.schema.json';

/** Where the workshop file is: as given, else in the working folder, else nowhere. */
export async function findWorkshop(given: string | undefined): Promise<string | null> {
  if (given !== undefined) return given;
  return (await isThere(WORKSHOP_FILE)) ? WORKSHOP_FILE : null;
}

/** Names that choose nothing, since an earlier entry has them too; such as `machines "big"`. */
function doubledIds(workshop: Workshop): string[] {
  return (['machines', 'materials', 'presses', 'curves', 'papers'] as const).flatMap((part) => {
    const ids = workshop[part].map(({ id }) => id);
    const again = new Set(ids.filter((id, i) => ids.indexOf(id) !== i));
    return [...again].map((id) => `${part} "${id}"`);
  });
}

/** Reads a workshop file and checks all of it. Throws JobError with every problem, each with its place. */
export async function readWorkshop(path: string): Promise<KnownWorkshop> {
  const { value, text } = await readJsonObject(path, 'workshop file');
  const parsed = workshopSchema.safeParse(value);
  if (!parsed.success)
    throw new JobError(
      parsed.error.issues.map((issue) => ({
        code: 'bad-workshop',
        message: `${path}, ${issue.path.join('.') || 'as a whole'}: ${issue.message}`,
        hint: 'See `etchwright schema workshop` for what may stand there.',
      })),
    );
  const doubled = doubledIds(parsed.data).map((place) => ({
    code: 'bad-workshop',
    message: `${path}, ${place} stands there twice`,
    hint: 'Give each entry a name of its own.',
  }));
  if (doubled.length > 0) throw new JobError(doubled);
  return { workshop: parsed.data, sha256: createHash('sha256').update(text).digest('hex') };
}

/** Writes a starting workshop file, and beside it the schema that describes every field of it. */
export async function initWorkshop(
  folder: string,
  options: { readonly owner: Owner; readonly overwrite: boolean },
): Promise<string[]> {
  const set = openFileSet({ ...options, protect: [] });
  const files = [
    { path: join(folder, WORKSHOP_FILE), value: startingWorkshop(SCHEMA_FILE) },
    { path: join(folder, SCHEMA_FILE), value: workshopJsonSchema() },
  ];
  try {
    for (const { path, value } of files) {
      const slot = await set.add(path);
      await slot.write([new TextEncoder().encode(`${JSON.stringify(value, null, 2)}\n`)]);
    }
    await set.commit();
    return files.map(({ path }) => path);
  } catch (error) {
    await set.abandon();
    throw error;
  }
}
