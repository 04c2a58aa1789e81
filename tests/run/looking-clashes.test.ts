import { expect, test } from 'vitest';
import { lookingSchema } from '../../src/job/proof-settings.ts';
import { lookingClashes } from '../../src/run/looking/clashes.ts';

const codes = (looking: object, process?: 'relief' | 'intaglio') =>
  lookingClashes(
    lookingSchema.parse({ proof: true, ...looking }),
    { streams: false, dryRun: false },
    process ? { hold: true, screen: null, process } : null,
  ).map(({ message }) => message);

test('how the ink of another process is proofed is no setting of this one', () => {
  expect(codes({ squashMm: 0.05 }, 'intaglio')).toEqual([
    '--squash belongs to proofs of relief, and this plate is for intaglio',
  ]);
  expect(codes({ plateTonePercent: 0 }, 'relief')).toEqual([
    '--plate-tone belongs to proofs of intaglio, and this plate is for relief',
  ]);
});

test.each(['relief', 'intaglio'] as const)(
  'settings as they are by default clash with nothing: %s',
  (process) => {
    expect(codes({}, process)).toEqual([]);
    expect(codes({ [process === 'relief' ? 'squashMm' : 'plateTonePercent']: 0 }, process)).toEqual([]);
  },
);

test('of a process not known yet nothing is said', () =>
  expect(codes({ squashMm: 0.05, plateTonePercent: 0 })).toEqual([]));
