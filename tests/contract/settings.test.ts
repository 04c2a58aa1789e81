import { describe, expect, test } from 'vitest';
import { outlines } from '../../src/core/outlines/index.ts';
import { processes } from '../../src/core/processes/index.ts';
import { screens } from '../../src/core/screens/index.ts';
import { jobJsonSchema } from '../../src/job/json-schema.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { outlinesWith } from '../../src/job/outline-settings.ts';
import { jobSettings, screensWith, settingByKey, settingsOf } from '../../src/job/settings.ts';
import { parseValue } from '../../src/job/values.ts';
import { gangSettings } from '../../src/run/gang/settings.ts';
import { methodSettings, separateSettings } from '../../src/run/sets/settings.ts';
import { runSchema } from '../../src/run/settings.ts';

const all = [
  ...jobSettings,
  ...settingsOf(runSchema),
  ...settingsOf(gangSettings),
  ...settingsOf(separateSettings),
  ...settingsOf(methodSettings),
];

describe.each(all.map((setting) => [setting.flag, setting] as const))('--%s', (_, setting) => {
  test('is described, stands in a group, and its default passes its own check', () => {
    expect(setting.description).toMatch(/^\p{Ll}.{8,}[^.]$/u);
    expect(setting.group).not.toBe('other');
    if (setting.fallback !== null) expect(setting.schema.safeParse(setting.fallback).success).toBe(true);
  });

  test('numbers have a range, and say their unit in their name', () => {
    if (setting.type !== 'number' && setting.type !== 'integer') return;
    expect(setting.minimum).not.toBeNull();
    expect(setting.maximum).not.toBeNull();
    const units: Record<string, RegExp> = { mm: /Mm$/, percent: /Percent$/, degrees: /Deg$/, lpi: /Lpi$/ };
    if (setting.unit && units[setting.unit]) expect(setting.key).toMatch(units[setting.unit]!);
    for (const text of ['', 'abc', 'NaN', 'Infinity', '-1', '1e3', '0x10', '12x', `${setting.maximum}9`])
      expect(parseValue(setting, text, 'x')).toHaveProperty('problem');
  });
});

test.each(Object.values(outlines))(
  'the settings of the outline $kind are settings of a job, and in no job without it',
  (outline) => {
    for (const key of Object.keys(outline.params.shape)) {
      expect(settingByKey.get(key)).toMatchObject({ group: 'outline', bits: true });
      expect(outlinesWith(key)).toContain(outline.kind);
      const { job } = resolveJob([
        { origin: 'flag', name: '', values: { process: 'relief', widthMm: '100' } },
      ]);
      expect(job).not.toHaveProperty(key);
    }
  },
);

test('no two settings share a flag or a key', () => {
  for (const name of ['flag', 'key'] as const)
    expect(new Set(all.map((setting) => setting[name])).size).toBe(all.length);
});

test('the JSON Schema of a job has every setting, and lengths may be texts', () => {
  const schema = jobJsonSchema() as { properties: Record<string, { type: unknown; description: string }> };
  for (const { key } of jobSettings) expect(schema.properties[key]?.description).toBeTruthy();
  expect(schema.properties['widthMm']!.type).toEqual(['number', 'string']);
});

describe.each(Object.values(processes))('process $kind', (process) => {
  test('has defaults that make a whole job', () => {
    const { job, problems } = resolveJob([
      { origin: 'flag', name: '', values: { process: process.kind, widthMm: '100' } },
    ]);
    expect(problems).toEqual([]);
    for (const { key } of jobSettings.filter(
      ({ bits, key, group }) =>
        bits &&
        group !== 'outline' &&
        !['heightMm', 'spotMm', 'beam', 'screen', 'minEtchedMm', 'minKeptMm'].includes(key) &&
        screensWith(key).length === 0,
    ))
      expect(job).toHaveProperty(key);
  });

  test('its border never prints, whichever side carries the ink', () => {
    expect(process.border === 'etched').toBe(process.prints === 'kept');
  });
});

describe.each(Object.values(screens))('screen $kind', (screen) => {
  test('its settings are settings of a job, with its own defaults', () => {
    const { job } = resolveJob([
      { origin: 'flag', name: '', values: { process: 'intaglio', widthMm: '100', screen: screen.kind } },
    ]);
    expect(job!.screenParams).toEqual(screen.params.parse({}));
  });
});
