import type { Problem } from '../core/errors.ts';
import { type ProcessKind, processes } from '../core/processes/index.ts';
import { type ScreenKind, screens } from '../core/screens/index.ts';
import { brokenRules } from './rules.ts';
import type { Job } from './schema.ts';
import { jobSettings, nearest, type Setting, screensWith, settingByKey } from './settings.ts';
import { parseValue } from './values.ts';

/** Where a value came from, weakest first. */
export const ORIGINS = ['default', 'process', 'material', 'workshop', 'job', 'flag', 'measured'] as const;
export type Origin = (typeof ORIGINS)[number];

/** Values of one source: a job file, the flags. */
export interface Layer {
  readonly origin: 'workshop' | 'job' | 'flag';
  /** How people know the source: `ferry.job.json`; empty for flags, which are known by their dashes. */
  readonly name: string;
  readonly values: Readonly<Record<string, unknown>>;
}

export type Origins = Readonly<Record<string, Origin>>;
export type Resolved =
  | { readonly job: Job; readonly origins: Origins; readonly problems: readonly [] }
  | { readonly job: null; readonly origins: null; readonly problems: readonly Problem[] };

const labelIn = (layer: Layer, setting: Setting): string =>
  layer.origin === 'flag' ? `--${setting.flag}` : `${layer.name}, ${setting.key}`;

/** Entries of a job file that say something about the file, not the job. */
const NOT_SETTINGS = new Set(['$schema', 'picture', 'comment']);

interface Gathered {
  readonly values: Map<string, { value: unknown; origin: Origin; label: string }>;
  readonly problems: Problem[];
}

function gather(layers: readonly Layer[]): Gathered {
  const values: Gathered['values'] = new Map();
  const problems: Problem[] = [];
  for (const layer of layers) {
    for (const [key, raw] of Object.entries(layer.values)) {
      if (NOT_SETTINGS.has(key)) continue;
      const setting = settingByKey.get(key);
      if (!setting) {
        problems.push(unknownKey(layer, key));
        continue;
      }
      const label = labelIn(layer, setting);
      const parsed = parseValue(setting, raw, label);
      if ('problem' in parsed) problems.push(parsed.problem);
      else values.set(key, { value: parsed.value, origin: layer.origin, label });
    }
  }
  return { values, problems };
}

function unknownKey(layer: Layer, key: string): Problem {
  const byFlag = jobSettings.find((setting) => setting.flag === key)?.key;
  const near = byFlag ?? nearest(key, settingByKey.keys());
  return {
    code: 'unknown-setting',
    message: `${layer.name}: there is no setting "${key}"`,
    hint: near ? `Did you mean "${near}"?` : 'See `etchwright schema job` for all settings.',
  };
}

/** Settings typed for a screen that is not the chosen one: a slip that would otherwise pass in silence. */
function strayScreenSettings(values: Gathered['values'], screen: ScreenKind): Problem[] {
  return [...values].flatMap(([key, { label }]) => {
    const owners = screensWith(key);
    if (owners.length === 0 || owners.includes(screen)) return [];
    return {
      code: 'setting-of-another-screen',
      message: `${label} belongs to the screen ${owners.join(' or ')}, but the screen is ${screen}`,
      hint: `Leave it out, or choose --screen ${owners[0]}.`,
    };
  });
}

/**
 * Lays the layers over each other, weakest first (defaults < process < workshop < job < flags), checks
 * everything and gives either the whole job with the origin of each value, or every problem there is.
 */
export function resolveJob(layers: readonly Layer[]): Resolved {
  const { values, problems } = gather(layers);
  const kind = values.get('process')?.value as ProcessKind | undefined;
  if (!kind && !problems.some(({ message }) => /process/.test(message)))
    problems.push({
      code: 'no-process',
      message: 'No process is given',
      hint: `Say what is made: ${Object.keys(processes)
        .map((name) => `--process ${name}`)
        .join(' or ')}.`,
    });
  if (!kind) return { job: null, origins: null, problems };

  const resolved: Record<string, unknown> = {};
  const origins: Record<string, Origin> = {};
  const put = (key: string, value: unknown, origin: Origin): void => {
    resolved[key] = value;
    origins[key] = origin;
  };
  const process = processes[kind];
  for (const { key, fallback } of jobSettings)
    if (fallback !== null && screensWith(key).length === 0) put(key, fallback, 'default');
  put('etch', process.etches === 'ink' ? 'dark' : 'light', 'process');
  put('facing', process.facing, 'process');
  for (const [key, value] of Object.entries(process.defaults)) put(key, value, 'process');
  for (const [key, { value, origin }] of values) if (screensWith(key).length === 0) put(key, value, origin);

  const screen = resolved['screen'] as ScreenKind;
  problems.push(...strayScreenSettings(values, screen));
  const screenParams: Record<string, unknown> = {};
  for (const key of Object.keys(screens[screen].params.shape)) {
    const given = values.get(key);
    screenParams[key] = given ? given.value : settingByKey.get(key)?.fallback;
    origins[key] = given ? given.origin : 'default';
  }
  const job = { ...resolved, screenParams } as unknown as Job;
  problems.push(...brokenRules(job));
  return problems.length > 0 ? { job: null, origins: null, problems } : { job, origins, problems: [] };
}

/** The settings that decide the plate's bits, flat, as a report and a saved job hold them. */
export function bitsOf(job: Job): Record<string, unknown> {
  const { screenParams, ...rest } = job;
  const flat: Record<string, unknown> = { ...rest, ...screenParams };
  return Object.fromEntries(
    jobSettings.flatMap(({ key, bits }) => (bits && flat[key] !== undefined ? [[key, flat[key]]] : [])),
  );
}
