import { EtchError } from '../core/errors.ts';
import { readNamed } from './named-file.ts';

/** Reports of plates with thousands of findings have two; no file that people write has one. */
const MOST_BYTES = 16e6;
/** Ours are nested six deep. What is nested without end could be read, but hardly be looked through. */
const MOST_DEPTH = 64;
/** Each name that is not known is looked up among those that are. */
const MOST_KEYS = 1000;

/** `job file` → `job-file`, for codes. */
const slug = (what: string): string => what.replaceAll(' ', '-');

/** A JSON object as read, and the text it stood in. */
export interface JsonObject {
  readonly value: Record<string, unknown>;
  readonly text: string;
}

/** How deep brackets are nested, those inside texts left out; counting ends above `most`. */
function depthUpTo(text: string, most: number): number {
  let depth = 0;
  let deepest = 0;
  let isText = false;
  for (let at = 0; at < text.length && deepest <= most; at++) {
    const code = text.charCodeAt(at);
    if (isText) {
      if (code === 0x5c) at++;
      else if (code === 0x22) isText = false;
    } else if (code === 0x22) isText = true;
    else if (code === 0x7b || code === 0x5b) deepest = Math.max(deepest, ++depth);
    else if (code === 0x7d || code === 0x5d) depth--;
  }
  return deepest;
}

/** Reads a file that must hold one JSON object; errors are of kind 'usage', since people wrote it. */
export async function readJsonObject(path: string, what: string): Promise<JsonObject> {
  let text: string;
  try {
    text = (await readNamed(path, MOST_BYTES)).toString('utf8');
  } catch (error) {
    throw new EtchError(
      'usage',
      `${slug(what)}-unreadable`,
      `Reading the ${what} ${path}: ${(error as Error).message}`,
      'Check the name and the folder.',
      error,
    );
  }
  if (depthUpTo(text, MOST_DEPTH) > MOST_DEPTH)
    throw new EtchError(
      'usage',
      `${slug(what)}-too-deep`,
      `Reading the ${what} ${path}: its brackets are nested more than ${MOST_DEPTH} deep`,
      'Name a file of ours, or one written like it.',
    );
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
  if (Object.keys(value).length > MOST_KEYS)
    throw new EtchError(
      'usage',
      `${slug(what)}-too-wide`,
      `Reading the ${what} ${path}: it has ${Object.keys(value).length} names at its top, more than ${MOST_KEYS}`,
      'Name a file of ours, or one written like it.',
    );
  return { value: value as Record<string, unknown>, text };
}

/** What `parse` makes of what stood in a file; its EtchErrors say which file. */
export function parsedFrom<Parsed>(path: string, value: unknown, parse: (value: unknown) => Parsed): Parsed {
  try {
    return parse(value);
  } catch (error) {
    throw error instanceof EtchError ? namedFor(path, error) : error;
  }
}

/** The same error, with the file it is about. */
export const namedFor = (path: string, { kind, code, message, hint }: EtchError): EtchError =>
  new EtchError(kind, code, `${path}: ${message}`, hint);
