import * as z from 'zod';
import { type ScreenKind, screens } from '../core/screens/index.ts';

/** Which screens a screen setting belongs to. */
export const ownersOf: Record<string, ScreenKind[]> = {};

/**
 * The settings of all screens under their names, each optional: which of them count, and with which default, is
 * known once the screen is. Two screens may share a setting if it means the same; a test holds them to it.
 */
export const screenSettings: Record<string, z.ZodType> = {};

for (const [kind, screen] of Object.entries(screens) as [ScreenKind, (typeof screens)[ScreenKind]][]) {
  for (const [name, field] of Object.entries(screen.params.shape) as [string, z.ZodType][]) {
    ownersOf[name] = [...(ownersOf[name] ?? []), kind];
    screenSettings[name] ??= optional(field);
  }
}

/** The setting without its default, which is shown all the same. */
function optional(field: z.ZodType): z.ZodType {
  const inner = field instanceof z.ZodDefault ? (field.unwrap() as z.ZodType) : field;
  const fallback = field instanceof z.ZodDefault ? field.def.defaultValue : undefined;
  const known = { ...z.globalRegistry.get(inner), ...z.globalRegistry.get(field) };
  return inner.meta({ ...known, group: 'screen', bits: true, default: fallback }).optional();
}
