import { describe, expect, test } from 'vitest';
import { idleProblems } from '../../src/job/idle.ts';
import { jobSettings, settingsOf } from '../../src/job/settings.ts';
import { separateSettings } from '../../src/run/sets/settings.ts';
import { runSchema } from '../../src/run/settings.ts';

const all = [...jobSettings, ...settingsOf(runSchema), ...settingsOf(separateSettings)];
const ofOthers = all.filter(({ onlyWith }) => onlyWith.length > 0);
const told = (typed: readonly string[], given: object) =>
  idleProblems(all, typed, { ...given }).map(({ message }) => message);

test('settings that count only beside others are known', () =>
  expect(ofOthers.map(({ flag }) => flag).sort()).toEqual(
    [
      ...['clear-inset', 'clear-pass', 'material-confirmed', 'wave-height', 'edition-proofs', 'loss'],
      ...['ink-colour', 'paper-colour', 'margin', 'proof-ppi', 'squash', 'plate-tone'],
    ].sort(),
  ));

describe.each(ofOthers.map((setting) => [setting.flag, setting] as const))(
  '--%s',
  (flag, { key, onlyWith }) => {
    test('alone does nothing, and is told with what it is for', () => {
      for (const off of [undefined, false, 'none', 0, '0']) {
        const given = Object.fromEntries(onlyWith.map((other) => [other, off]));
        const [message = '', ...more] = told([key], given);
        expect(more).toEqual([]);
        expect(message).toContain(`--${flag} does nothing without --`);
      }
    });

    test.each(onlyWith)('counts beside %s, which is a setting', (other) => {
      expect(all.map((setting) => setting.key)).toContain(other);
      expect(told([key], { [other]: 'given' })).toEqual([]);
      expect(told([], {})).toEqual([]);
    });
  },
);

test('what is for the same is told together', () =>
  expect(told(['clearInsetMm', 'clearPassMm', 'squashMm', 'plateTonePercent', 'proofPpi'], {})).toEqual([
    '--clear-inset and --clear-pass do nothing without --clearing',
    '--proof-ppi, --squash and --plate-tone do nothing without --proof, --holdmap or --jobsheet',
  ]));

test('only what the command has is told as what a setting is for', () => {
  const few = all.filter(({ key }) => ['inkColour', 'proof', 'clearInsetMm'].includes(key));
  expect(idleProblems(few, ['inkColour', 'clearInsetMm'], {}).map(({ message }) => message)).toEqual([
    '--ink-colour does nothing without --proof',
  ]);
});
