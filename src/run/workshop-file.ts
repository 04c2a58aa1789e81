import { createHash } from 'node:crypto';
import { access } from 'node:fs/promises';
import { JobError } from '../core/errors.ts';
import { readJsonObject } from '../io/json-file.ts';
import type { KnownWorkshop } from '../job/making.ts';
import { workshopSchema } from '../job/workshop.ts';

/** The workshop file of a folder. */
export const WORKSHOP_FILE = 'etchwright.workshop.json';

const exists = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  );

/** Where the workshop file is: as given, else in the working folder, else nowhere. */
export async function findWorkshop(given: string | undefined): Promise<string | null> {
  if (given !== undefined) return given;
  return (await exists(WORKSHOP_FILE)) ? WORKSHOP_FILE : null;
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
  return { workshop: parsed.data, sha256: createHash('sha256').update(text).digest('hex') };
}
