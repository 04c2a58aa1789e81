import { describe, expect, test } from 'vitest';
import { bitsOf, type Layer, resolveJob } from '../../src/job/layers.ts';
import { settingsOf } from '../../src/job/settings.ts';
import { parseValue } from '../../src/job/values.ts';
import { runSchema } from '../../src/run/settings.ts';

const flags = (values: Record<string, unknown>): Layer => ({ origin: 'flag', name: '', values });
const file = (values: Record<string, unknown>): Layer => ({ origin: 'job', name: 'ferry.job.json', values });
const codes = (...layers: Layer[]) => resolveJob(layers).problems.map(({ code }) => code);

describe('a job from its layers', () => {
  test('relief etches the light side; intaglio is capped at 80 % and etches the dark; the screen waits for the picture', () => {
    const relief = resolveJob([flags({ process: 'relief', widthMm: '120' })]).job!;
    expect([relief.screen, relief.capPercent, relief.etch, relief.facing]).toEqual([
      null,
      100,
      'light',
      'plate',
    ]);
    expect(relief.screenParams).toEqual({});
    const intaglio = resolveJob([flags({ process: 'intaglio', widthMm: '120' })]).job!;
    expect([intaglio.screen, intaglio.capPercent, intaglio.etch]).toEqual([null, 80, 'dark']);
    expect([intaglio.dpi, intaglio.fit]).toEqual([500, 'contain']);
  });

  test('a setting that only one screen has names the screen', () => {
    const { job, origins } = resolveJob([
      file({ process: 'intaglio' }),
      flags({ kernel: 'ostromoukhov', seed: '3' }),
    ]);
    expect([job!.screen, job!.screenParams]).toEqual(['errordiffusion', { kernel: 'ostromoukhov', seed: 3 }]);
    expect([origins!['screen'], origins!['kernel']]).toEqual(['flag', 'flag']);
    expect(codes(flags({ process: 'intaglio', kernel: 'stucki', matrix: '8' }))).toEqual([
      'settings-of-different-screens',
    ]);
  });

  test('a named screen is filled in with its defaults', () => {
    const { job, origins } = resolveJob([flags({ process: 'relief', screen: 'threshold' })]);
    expect(job!.screenParams).toEqual({ levelPercent: 50 });
    expect([origins!['screen'], origins!['levelPercent']]).toEqual(['flag', 'default']);
  });

  test('flags go before the job file, the job file before the process, the process before defaults', () => {
    const { job, origins } = resolveJob([
      file({ process: 'intaglio', widthMm: '12cm', dpi: 300, capPercent: 70 }),
      flags({ dpi: '600' }),
    ]);
    expect([job!.widthMm, job!.dpi, job!.capPercent, job!.facing, job!.gamma]).toEqual([
      120,
      600,
      70,
      'plate',
      1,
    ]);
    expect([
      origins!['widthMm'],
      origins!['dpi'],
      origins!['capPercent'],
      origins!['facing'],
      origins!['gamma'],
    ]).toEqual(['job', 'flag', 'job', 'process', 'default']);
  });

  test('the process of a flag decides the defaults, not that of the file it goes before', () => {
    const { job } = resolveJob([file({ process: 'relief' }), flags({ process: 'intaglio' })]);
    expect([job!.process, job!.capPercent, job!.etch]).toEqual(['intaglio', 80, 'dark']);
  });

  test('all problems come at once, each with its place', () => {
    const { problems } = resolveJob([
      file({ process: 'relief', dip: 500, gamma: -1, widthMm: '12 furlongs' }),
      flags({ dpi: '5', capPercent: '101' }),
    ]);
    expect(problems.map(({ message }) => message)).toEqual([
      'ferry.job.json: there is no setting "dip"',
      'ferry.job.json, gamma: -1 does not fit',
      'ferry.job.json, widthMm: "12 furlongs" is not understood',
      '--dpi: "5" does not fit',
      '--cap: "101" does not fit',
    ]);
    expect(problems[0]!.hint).toBe('Did you mean "dpi"?');
    expect(problems[3]!.hint).toBe('Give 50 to 10000 dpi.');
  });

  test('a text that does not fit is told what does', () => {
    const name = settingsOf(runSchema).find(({ key }) => key === 'name')!;
    expect(parseValue(name, '../up', '--name')).toMatchObject({
      problem: { hint: 'Give a name without / and \\.' },
    });
    expect(parseValue(name, 'up', '--name')).toEqual({ value: 'up' });
    const { problems } = resolveJob([flags({ process: 'relief', machine: '' })]);
    expect(problems[0]!.hint).toBe('Give some text, or leave it out.');
  });

  test('a flag’s name in a job file leads to the setting’s own', () => {
    expect(resolveJob([file({ process: 'relief', width: 120 })]).problems[0]!.hint).toBe(
      'Did you mean "widthMm"?',
    );
  });

  test('the process must be said', () => {
    expect(codes(flags({ widthMm: '120' }))).toEqual(['no-process']);
    expect(codes(flags({ process: 'lithography' }))).toEqual(['bad-value']);
  });

  test('a setting of another screen is told', () => {
    expect(codes(flags({ process: 'relief', screen: 'threshold', kernel: 'ostromoukhov' }))).toEqual([
      'setting-of-another-screen',
    ]);
    expect(codes(flags({ process: 'relief', screen: 'errordiffusion', kernel: 'ostromoukhov' }))).toEqual([]);
  });

  test.each([
    [{ floorPercent: '80', capPercent: '70' }, 'floor-above-cap'],
    [{ floorPercent: '70', capPercent: '70' }, 'floor-above-cap'],
    [{ whitepointPercent: '20', blackpointPercent: '30' }, 'black-above-white'],
    [{ widthMm: '100', borderMm: '50' }, 'border-too-wide'],
    [{ widthMm: '5000', heightMm: '5000', dpi: '2000' }, 'plate-too-large'],
  ])('settings that cannot go together: %o is %s', (values, code) => {
    expect(codes(flags({ process: 'intaglio', ...values }))).toEqual([code]);
  });

  test('keys of a file that are not settings but its own are let pass', () => {
    expect(
      codes(file({ $schema: 'x', comment: 'for Ennerby', picture: 'a.png', process: 'relief' })),
    ).toEqual([]);
  });

  test('names of JavaScript objects are not settings', () => {
    expect(
      codes(file(JSON.parse('{"process":"relief","__proto__":1,"constructor":2,"toString":3}'))),
    ).toEqual(['unknown-setting', 'unknown-setting', 'unknown-setting']);
  });

  test('what decides the bits, laid down as a job, gives the same job again', () => {
    const { job } = resolveJob([
      flags({ process: 'intaglio', widthMm: '12cm', kernel: 'ostromoukhov', gamma: '1,2' }),
    ]);
    const again = resolveJob([file(bitsOf(job!))]);
    expect(again.problems).toEqual([]);
    expect(bitsOf(again.job!)).toEqual(bitsOf(job!));
  });
});
