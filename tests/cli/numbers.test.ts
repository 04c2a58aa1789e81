import { describe, expect, test } from 'vitest';
import { jobSettings, type Setting, settingsOf } from '../../src/job/settings.ts';
import { parseValue } from '../../src/job/values.ts';
import { runSchema } from '../../src/run/settings.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();

/** Every option of prepare that is a number, a length or a percentage, and those that choose among numbers. */
const numeric = [...jobSettings, ...settingsOf(runSchema)].filter(
  ({ type, unit, choices }) =>
    type === 'number' ||
    type === 'integer' ||
    unit !== null ||
    choices.some((choice) => /^\d+$/.test(choice)),
);

const BAD = ['100x', 'abc', 'NaN', 'Infinity', '1e3', '0x12C', '-300', '', ' 300 '];
const MORE_BAD = [
  '1.2.3',
  '1,000.5',
  '+5',
  '５',
  '.5',
  '5.',
  '1_000',
  null,
  Number.NaN,
  Infinity,
  [],
  {},
  true,
];
const isWhole = ({ type, choices }: Setting) => type === 'integer' || choices.length > 0;

/**
 * A picture that is not there would be exit 3, if anybody looked. Without a process no screen is known, so that the settings of
 * all screens are read, and none is told to belong to another.
 */
const unread = ['prepare', 'not-there.png'];

const flagged = (settings: readonly Setting[], value: string) =>
  settings.flatMap(({ flag }) => [`--${flag}`, value]);

describe('C37 numbers that are not numbers', () => {
  test('there are options to try', () => {
    expect(numeric.map(({ flag }) => flag)).toEqual(
      expect.arrayContaining([
        'width',
        'dpi',
        'cap',
        'gamma',
        'seed',
        'matrix',
        'rotate',
        'workers',
        'passes',
      ]),
    );
  });

  test.each(BAD)('%j is refused for every numeric option before any picture is opened', async (bad) => {
    const run = await cli(place, [...unread, ...flagged(numeric, bad)]);
    expect(run.code, run.err).toBe(2);
    for (const { flag } of numeric)
      expect(run.err).toContain(`--${flag}: ${JSON.stringify(bad)} is not understood. Give `);
    expect(run.err.replaceAll('"NaN"', '')).not.toContain('NaN');
    expect(namesIn(place.path)).toEqual([]);
  });

  test('300.5 and 1.5 are refused where only whole numbers go', async () => {
    const whole = numeric.filter((setting) => setting.type !== 'choice-or-number' && isWhole(setting));
    for (const bad of ['300.5', '1.5']) {
      const run = await cli(place, [...unread, ...flagged(whole, bad)]);
      expect(run.code, run.err).toBe(2);
      for (const { flag } of whole) expect(run.err).toContain(`--${flag}: "${bad}"`);
    }
  });

  test('what is out of range is refused, and the range told', async () => {
    const outOf = (setting: Setting, value: number | null) =>
      value === null || Math.abs(value) >= Number.MAX_SAFE_INTEGER ? null : `--${setting.flag}: "${value}"`;
    const above = numeric.filter(({ maximum }) => maximum !== null && maximum < Number.MAX_SAFE_INTEGER);
    const args = above.flatMap(({ flag, maximum }) => [`--${flag}`, `${maximum! + 1}`]);
    const run = await cli(place, [...unread, ...args]);
    expect(run.code, run.err).toBe(2);
    for (const setting of above) {
      expect(run.err).toContain(outOf(setting, setting.maximum! + 1));
      expect(run.err).toContain(`${setting.minimum} to ${setting.maximum}`);
    }
    const zero = numeric.filter(({ minimum }) => minimum !== null && minimum > 0);
    expect(zero.length).toBeGreaterThan(5);
    const none = await cli(place, [...unread, ...flagged(zero, '0')]);
    expect(none.code).toBe(2);
    for (const { flag } of zero) expect(none.err).toContain(`--${flag}: "0" does not fit`);
  });

  test('in a job file too, and no value that is not a number ever comes out of reading one', () => {
    for (const setting of numeric)
      for (const bad of [...BAD, ...MORE_BAD]) {
        const parsed = parseValue(setting, bad, 'here');
        expect('problem' in parsed, `${setting.key}: ${JSON.stringify(bad)}`).toBe(true);
      }
  });
});
