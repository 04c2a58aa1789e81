import * as z from 'zod';
import { formsOf } from './measures.ts';
import { jobSchema } from './schema.ts';
import { workshopSchema } from './workshop.ts';

interface Property {
  type?: unknown;
  anyOf?: unknown[];
  unit?: string;
  group?: string;
  bits?: boolean;
  names?: string;
  [key: string]: unknown;
}

/** The same with texts that begin like a number. */
function widened(property: Property): Property {
  if (property.type === 'number') return { ...property, type: ['number', 'string'] };
  return property.anyOf
    ? { ...property, anyOf: [...property.anyOf, { type: 'string', pattern: '^[0-9]' }] }
    : property;
}

/**
 * The JSON Schema of a job file, made from the one description. Numbers with a unit may be texts that spell it
 * out, so their type is widened; what only the program needs to know is left out.
 */
export function jobJsonSchema(): Record<string, unknown> {
  const json = z.toJSONSchema(jobSchema, { io: 'input' }) as { properties: Record<string, Property> };
  const properties: Record<string, unknown> = {
    $schema: { type: 'string' },
    picture: { type: 'string', description: 'the picture, from the folder of the job file' },
    comment: { type: 'string', description: 'words for people; not read' },
  };
  for (const [key, property] of Object.entries(json.properties)) {
    const { group: _group, bits: _bits, names: _names, onlyWith: _onlyWith, ...rest } = property;
    properties[key] = formsOf(property.unit ?? null) === null ? rest : widened(rest);
  }
  return { ...json, title: 'etchwright job', properties };
}

/** The JSON Schema of a workshop file; every field is described in it. */
export const workshopJsonSchema = (): Record<string, unknown> => ({
  ...z.toJSONSchema(workshopSchema, { io: 'input' }),
  title: 'etchwright workshop',
});
