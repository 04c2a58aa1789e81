import type { Problem } from '../core/errors.ts';
import { type ProcessKind, processes } from '../core/processes/index.ts';
import { type ScreenKind, screens } from '../core/screens/index.ts';
import { outlinesWith } from './outline-settings.ts';
import { brokenRules } from './rules.ts';
import type { Job, WantedJob } from './schema.ts';
import { jobSettings, nearest, type Setting, screensWith, settingByKey } from './settings.ts';
import { parseValue } from './values.ts';

/** Where a value came from, weakest first. */
export const ORIGINS = [
  'default',
  'process',
  'material',
  'workshop',
  'curve',
  'job',
  'flag',
  'row',
  'measured',
] as const;
export type Origin = (typeof ORIGINS)[number];

/** Values of one source: a job file, the flags, a row of a list. */
export interface Layer {
  readonly origin: 'workshop' | 'curve' | 'job' | 'flag' | 'row';
  /** How people know the source: `ferry.job.json`; empty for flags, which are known by their dashes. */
  readonly name: string;
  /** How a value's own place is called, by its key, where it is not the key: the column of a list. */
  readonly places?: Readonly<Record<string, string>>;
  readonly values: Readonly<Record<string, unknown>>;
}

export type Origins = Readonly<Record<string, Origin>>;
export type Resolved =
  | { readonly job: WantedJob; readonly origins: Origins; readonly problems: readonly [] }
  | { readonly job: null; readonly origins: null; readonly problems: readonly Problem[] };

const labelIn = (layer: Layer, setting: Setting): string =>
  layer.origin === 'flag'
    ? `--${setting.flag}`
    : `${layer.name}, ${layer.places?.[setting.key] ?? setting.key}`;

/** Entries of a job file that say something about the file, not the job. */
const NOT_SETTINGS = new Set(['$schema', 'picture', 'comment']);

/** A problem with one value; the setting is null where there is no such setting. */
interface Unfit {
  readonly key: string | null;
  readonly label: string;
  readonly problem: Problem;
}

interface Gathered {
  readonly values: Map<string, { value: unknown; origin: Origin; label: string }>;
  readonly unfit: readonly Unfit[];
}

function gather(layers: readonly Layer[]): Gathered {
  const values: Gathered['values'] = new Map();
  const unfit: Unfit[] = [];
  for (const layer of layers) {
    for (const [key, raw] of Object.entries(layer.values)) {
      if (NOT_SETTINGS.has(key)) continue;
      const setting = settingByKey.get(key);
      if (!setting) {
        unfit.push({ key: null, label: key, problem: unknownKey(layer, key) });
        continue;
      }
      const label = labelIn(layer, setting);
      const parsed = parseValue(setting, raw, label);
      if ('problem' in parsed) unfit.push({ key, label, problem: parsed.problem });
      else values.set(key, { value: parsed.value, origin: layer.origin, label });
    }
  }
  return { values, unfit };
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

/** What is wrong with the values of these layers, each by itself. */
export const valueProblems = (layers: readonly Layer[]): Problem[] =>
  gather(layers).unfit.map(({ problem }) => problem);

/** True where a layer says which screen, or sets something that only some screens have. */
export const namesScreen = ({ values }: Layer): boolean =>
  Object.keys(values).some((key) => key === 'screen' || screensWith(key).length > 0);

/** A setting typed for a screen that is not the chosen one, whatever its value; null for any other. */
function stray(key: string, label: string, screen: ScreenKind): Problem | null {
  const owners = screensWith(key);
  if (owners.length === 0 || owners.includes(screen)) return null;
  return {
    code: 'setting-of-another-screen',
    message: `${label} belongs to the screen ${owners.join(' or ')}, but the screen is ${screen}`,
    hint: `Leave it out, or choose --screen ${owners[0]}.`,
  };
}

/** What is wrong with single settings, once the screen is known; null where it is left to the picture. */
function settingProblems({ values, unfit }: Gathered, screen: ScreenKind | null): Problem[] {
  // a screen that was not understood does not tell whose setting is astray
  if (screen === null || unfit.some(({ key }) => key === 'screen'))
    return unfit.map(({ problem }) => problem);
  return [
    ...unfit.map(({ key, label, problem }) => (key && stray(key, label, screen)) || problem),
    ...[...values].flatMap(([key, { label }]) => stray(key, label, screen) ?? []),
  ];
}

/** What a process decides unless something else is given. */
const decidedBy = (kind: ProcessKind): Readonly<Record<string, unknown>> => {
  const { etches, facing, defaults } = processes[kind];
  return { etch: etches === 'ink' ? 'dark' : 'light', facing, ...defaults };
};

/** What a setting is in each process that decides it, such as `relief: 100; intaglio: 80`; null where none does. */
export function unlessGiven(key: string): string | null {
  const kinds = Object.keys(processes) as ProcessKind[];
  const values = kinds.map((kind) => decidedBy(kind)[key]);
  if (values.includes(undefined)) return null;
  if (new Set(values).size === 1) return String(values[0]);
  return kinds.map((kind, index) => `${kind}: ${String(values[index])}`).join('; ');
}

/**
 * Lays the layers over each other, weakest first (defaults < process < workshop < job < flags < row), checks
 * everything and gives either the whole job with the origin of each value, or every problem there is.
 */
export function resolveJob(layers: readonly Layer[]): Resolved {
  const { values, unfit } = gather(layers);
  const problems = unfit.map(({ problem }) => problem);
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
  for (const { key, fallback } of jobSettings)
    if (fallback !== null && screensWith(key).length === 0 && outlinesWith(key).length === 0)
      put(key, fallback, 'default');
  for (const [key, value] of Object.entries(decidedBy(kind))) put(key, value, 'process');
  for (const [key, { value, origin }] of values) if (screensWith(key).length === 0) put(key, value, origin);

  const named = (values.get('screen')?.value as ScreenKind | undefined) ?? null;
  const typed = [...values].filter(([key]) => screensWith(key).length > 0);
  const implied = named === null ? impliedScreen(typed) : null;
  const screen = named ?? implied?.screen ?? null;
  const screenParams = Object.fromEntries(typed.map(([key, { value }]) => [key, value]));
  for (const [key, { origin }] of typed) origins[key] = origin;
  const open = { ...resolved, screen, screenParams } as unknown as WantedJob;
  const job = screen === null ? open : withScreen(open, screen);
  if (screen !== null) {
    for (const key of Object.keys(job.screenParams)) origins[key] ??= 'default';
    origins['screen'] ??= implied!.origin;
  }
  const told = [
    ...settingProblems({ values, unfit }, screen),
    ...(implied?.problem ? [implied.problem] : []),
    ...brokenRules(job),
  ];
  return told.length > 0 ? { job: null, origins: null, problems: told } : { job, origins, problems: [] };
}

/** The screens that have all of these settings; every screen where none is given. */
export const screensWithAll = (keys: readonly string[]): ScreenKind[] =>
  (Object.keys(screens) as ScreenKind[]).filter((kind) =>
    keys.every((key) => screensWith(key).includes(kind)),
  );

type Typed = readonly (readonly [key: string, { readonly origin: Origin; readonly label: string }])[];

/**
 * The screen that settings of its own imply. Settings that several screens share leave the choice to the picture, which
 * then falls among those; settings that no screen has together are a problem.
 */
function impliedScreen(
  typed: Typed,
): { screen: ScreenKind | null; origin: Origin; problem: Problem | null } | null {
  if (typed.length === 0) return null;
  const [, { origin }] = typed.at(-1)!;
  const owners = screensWithAll(typed.map(([key]) => key));
  if (owners.length > 0) return { screen: owners.length === 1 ? owners[0]! : null, origin, problem: null };
  const labels = typed.map(([key, { label }]) => `${label} (${screensWith(key).join(' or ')})`);
  const problem: Problem = {
    code: 'settings-of-different-screens',
    message: `No screen has ${labels.join(' and ')} together`,
    hint: 'Leave one of them out, or say which screen with --screen.',
  };
  return { screen: null, origin, problem };
}

/** The job with its screen chosen: the settings given that the screen has, its defaults for the others. */
export function withScreen(job: WantedJob, screen: ScreenKind): Job {
  const screenParams: Record<string, unknown> = {};
  for (const key of Object.keys(screens[screen].params.shape)) {
    const value = job.screenParams[key] ?? settingByKey.get(key)?.fallback;
    if (value !== undefined && value !== null) screenParams[key] = value;
  }
  return { ...job, screen, screenParams };
}

/** The settings that decide the plate's bits, as far as they are known, flat, as a report and a saved job hold them. */
export function bitsOf(job: WantedJob): Record<string, unknown> {
  const { screenParams, ...rest } = job;
  const flat: Record<string, unknown> = { ...rest, ...screenParams };
  return Object.fromEntries(
    jobSettings.flatMap(({ key, bits }) => (bits && (flat[key] ?? null) !== null ? [[key, flat[key]]] : [])),
  );
}
