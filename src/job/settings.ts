import * as z from 'zod';
import { outlinesWith } from './outline-settings.ts';
import { jobSchema } from './schema.ts';
import { ownersOf } from './screen-settings.ts';

/** One setting as flags, help and messages need it, read out of a zod schema and nothing else. */
export interface Setting {
  /** Name in job files and reports, such as `widthMm`. */
  readonly key: string;
  /** Name on the command line without the dashes, such as `width`. */
  readonly flag: string;
  readonly type: 'number' | 'integer' | 'text' | 'choice' | 'choice-or-number' | 'switch' | 'list';
  readonly unit: string | null;
  /** What a text names, where it names something: a file, a folder. */
  readonly names: string | null;
  readonly choices: readonly string[];
  readonly minimum: number | null;
  readonly maximum: number | null;
  readonly description: string;
  readonly group: string;
  readonly bits: boolean;
  /** Shown in the help; null where there is none or where it depends. */
  readonly fallback: unknown;
  /** What it hangs on where it depends, in words; null elsewhere. */
  readonly unlessGiven: string | null;
  /** Keys of which one must be given, or it does nothing; empty where it counts by itself. */
  readonly onlyWith: readonly string[];
  readonly schema: z.ZodType;
}

const UNIT_SUFFIX = /(Mm|Deg|Percent|Lpi|Minutes)$/;

/** `whitepointPercent` → `whitepoint`, `maxPixels` → `max-pixels`. */
export const flagFor = (key: string): string =>
  key.replace(UNIT_SUFFIX, '').replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);

interface Property {
  type?: string | string[];
  enum?: unknown[];
  anyOf?: Property[];
  const?: unknown;
  items?: Property;
  minimum?: number;
  maximum?: number;
  description?: string;
  default?: unknown;
  unlessGiven?: string;
  onlyWith?: string[];
  unit?: string;
  names?: string;
  group?: string;
  bits?: boolean;
}

function typeOf(property: Property): Setting['type'] {
  if (property.anyOf) return 'choice-or-number';
  if (property.type === 'array') return 'list';
  if (property.enum) return 'choice';
  if (property.type === 'boolean') return 'switch';
  if (property.type === 'integer') return 'integer';
  return property.type === 'number' ? 'number' : 'text';
}

/** Reads the settings out of an object schema, in its order. */
export function settingsOf(schema: z.ZodObject): Setting[] {
  const json = z.toJSONSchema(schema, { io: 'input' }) as { properties: Record<string, Property> };
  return Object.entries(json.properties).map(([key, property]) => settingOf(key, property, schema));
}

/** A union of words and a number counts as both: its words are choices, its number has the range. */
function settingOf(key: string, property: Property, schema: z.ZodObject): Setting {
  const number = property.anyOf?.find(({ type }) => type === 'number') ?? property;
  const words = property.anyOf?.find((part) => part.enum) ?? property;
  return {
    key,
    flag: flagFor(key),
    type: typeOf(property),
    unit: property.unit ?? null,
    names: property.names ?? null,
    choices: (words.enum ?? property.items?.enum ?? []).map(String),
    minimum: number.minimum ?? null,
    maximum: number.maximum ?? null,
    description: property.description ?? '',
    group: property.group ?? 'other',
    bits: property.bits ?? false,
    fallback: property.default ?? null,
    unlessGiven: property.unlessGiven ?? null,
    onlyWith: property.onlyWith ?? [],
    schema: schema.shape[key] as z.ZodType,
  };
}

/** The settings of a job, screens' own included. */
export const jobSettings: readonly Setting[] = settingsOf(jobSchema);

export const settingByKey: ReadonlyMap<string, Setting> = new Map(
  jobSettings.map((setting) => [setting.key, setting]),
);

/** The screens a setting belongs to; empty for the settings of every job. */
export const screensWith = (key: string): readonly string[] => ownersOf[key] ?? [];

/** The screens or outlines a setting belongs to, for the help. */
export const ownersOfSetting = (key: string): readonly string[] => [
  ...screensWith(key),
  ...outlinesWith(key),
];

/** The known name nearest to a mistyped one, or null when nothing is near. */
export function nearest(name: string, known: Iterable<string>): string | null {
  let best: string | null = null;
  let bestDistance = Math.max(2, Math.floor(name.length / 3)) + 1;
  for (const candidate of known) {
    const distance = editDistance(name.toLowerCase(), candidate.toLowerCase());
    if (distance < bestDistance) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

/** Letters to add, drop or change (V. I. Levenshtein 1966). */
function editDistance(a: string, b: string): number {
  let previous = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const current = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = a[i - 1] === b[j - 1] ? 0 : 1;
      current[j] = Math.min(previous[j]! + 1, current[j - 1]! + 1, previous[j - 1]! + change);
    }
    previous = current;
  }
  return previous[b.length]!;
}
