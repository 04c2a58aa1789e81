import type { Command } from 'commander';
import type { Problem } from '../core/errors.ts';
import type { KnownWorkshop } from '../job/making.ts';
import type { Setting } from '../job/settings.ts';
import { parseValue } from '../job/values.ts';
import { typedValues } from './flags.ts';

/** The values of settings that only flags can give, defaults filled in, with all that is wrong with them. */
export function resolveSettings(
  command: Command,
  settings: readonly Setting[],
): { readonly values: Record<string, unknown>; readonly problems: Problem[] } {
  const problems: Problem[] = [];
  const typed = typedValues(command, settings);
  const values: Record<string, unknown> = {};
  for (const setting of settings) {
    if (setting.fallback !== null) values[setting.key] = setting.fallback;
    if (!(setting.key in typed)) continue;
    const parsed = parseValue(setting, typed[setting.key], `--${setting.flag}`);
    if ('problem' in parsed) problems.push(parsed.problem);
    else values[setting.key] = parsed.value;
  }
  return { values, problems };
}

/** The workshop file given, or that of the working folder, or none. */
export async function loadWorkshop(
  given: string | undefined,
): Promise<{ readonly workshop: KnownWorkshop | null; readonly workshopFile: string | null }> {
  const { findWorkshop, readWorkshop } = await import('../run/workshop-file.ts');
  const workshopFile = await findWorkshop(given);
  return { workshopFile, workshop: workshopFile === null ? null : await readWorkshop(workshopFile) };
}
