import type { Command } from 'commander';
import type { Problem } from '../../core/errors.ts';
import type { AnySeparation } from '../../core/separations/contract.ts';
import { separations } from '../../core/separations/index.ts';
import { type SeparateSettings, separationsWith } from '../../run/sets/settings.ts';
import { typedValues } from '../flags.ts';
import { resolveSettings } from '../settle.ts';
import { methodFlags } from './flags.ts';

/** How a picture is divided, with the settings of that. */
export interface Method {
  readonly def: AnySeparation;
  readonly params: Readonly<Record<string, unknown>>;
}

/** True for a method that cuts pieces out of its sheets. */
export function cutsOf({ def, params }: Method): boolean {
  const way = def.way(params);
  return way.draws === 'areas' && way.cuts !== undefined;
}

/** The method that is asked for; null for none, or where its settings are not understood. */
export function methodOf(
  command: Command,
  by: SeparateSettings['by'],
): { method: Method | null; problems: Problem[] } {
  const typed = typedValues(command, methodFlags);
  const { values, problems } = resolveSettings(command, methodFlags);
  const strays = Object.keys(typed).filter((key) => by === undefined || !separationsWith(key).includes(by));
  for (const key of strays) {
    const { flag } = methodFlags.find((setting) => setting.key === key)!;
    const owners = separationsWith(key).join(' or ');
    problems.push({
      code: 'setting-of-another-method',
      message: `--${flag} belongs to the method ${owners}, but ${by === undefined ? 'none is given' : `the method is ${by}`}`,
      hint: `Leave it out, or choose --by ${separationsWith(key)[0]}.`,
    });
  }
  if (by === undefined || problems.length > 0) return { method: null, problems };
  const def = separations[by] as unknown as AnySeparation;
  const own = Object.fromEntries(Object.entries(values).filter(([key]) => separationsWith(key).includes(by)));
  return { method: { def, params: def.params.parse(own) }, problems };
}
