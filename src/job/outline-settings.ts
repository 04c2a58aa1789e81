import * as z from 'zod';
import { type OutlineKind, outlines } from '../core/outlines/index.ts';

/** Which outlines a setting belongs to. */
const ownersOf: Record<string, OutlineKind[]> = {};

/** The settings of all outlines under their names, each optional: which of them count is known once the outline is. */
export const outlineSettings: Record<string, z.ZodType> = {};

for (const [kind, { params }] of Object.entries(outlines) as [
  OutlineKind,
  (typeof outlines)[OutlineKind],
][]) {
  for (const [name, field] of Object.entries(params.shape) as [string, z.ZodDefault][]) {
    ownersOf[name] = [...(ownersOf[name] ?? []), kind];
    const inner = field.unwrap() as z.ZodType;
    const known = { ...z.globalRegistry.get(inner), ...z.globalRegistry.get(field) };
    outlineSettings[name] ??= inner
      .meta({ ...known, group: 'outline', bits: true, default: field.def.defaultValue })
      .optional();
  }
}

/** The outlines that a setting belongs to; empty for all other settings. */
export const outlinesWith = (key: string): readonly OutlineKind[] => ownersOf[key] ?? [];
