import { readFile } from 'node:fs/promises';
import { EtchError } from '../core/errors.ts';

const WORDS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  EISDIR: 'it is a folder',
  EACCES: 'reading it is not permitted',
};

/** `job file` → `job-file`, for codes. */
const slug = (what: string): string => what.replaceAll(' ', '-');

/** A JSON object as read, and the text it stood in. */
export interface JsonObject {
  readonly value: Record<string, unknown>;
  readonly text: string;
}

/** Reads a file that must hold one JSON object; errors are of kind 'usage', since people wrote it. */
export async function readJsonObject(path: string, what: string): Promise<JsonObject> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? '';
    throw new EtchError(
      'usage',
      `${slug(what)}-unreadable`,
      `Reading the ${what} ${path}: ${WORDS[code] ?? (error as Error).message}`,
      'Check the name and the folder.',
      error,
    );
  }
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new EtchError(
      'usage',
      `${slug(what)}-not-json`,
      `Reading the ${what} ${path}: it is not JSON (${(error as Error).message})`,
      'Mend the place named.',
      error,
    );
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new EtchError(
      'usage',
      `${slug(what)}-not-object`,
      `Reading the ${what} ${path}: it does not hold one JSON object`,
      'It should begin with { and end with }.',
    );
  return { value: value as Record<string, unknown>, text };
}
