import { describe, expect, test } from 'vitest';
import { corpus, save } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const FLAT = corpus('good/gen-flat-128.png');

describe('what is wrong with a job', () => {
  const messages = async (args: readonly string[], job?: unknown): Promise<string[]> => {
    if (job !== undefined) save(place.path, 'a.job.json', Buffer.from(JSON.stringify(job)));
    const before = namesIn(place.path);
    const { code, out, err } = await cli(place, [
      'prepare',
      ...args,
      ...(job === undefined ? [] : ['--job', 'a.job.json']),
    ]);
    expect([code, out], err).toEqual([2, '']);
    expect(namesIn(place.path)).toEqual(before);
    return err.trim().split('\n');
  };

  test('is told all at once: three errors of the job file and two of the flags', async () => {
    const job = { process: 'relief', widthMm: 'wide', capPercent: 120, wdith: 20 };
    const told = await messages([FLAT, '--dpi', 'fine', '--fit', 'loose'], job);
    expect(told).toHaveLength(5);
    for (const word of [
      'a.job.json, widthMm: "wide"',
      'a.job.json, capPercent: 120',
      'wdith',
      '--dpi: "fine"',
      '--fit: "loose"',
    ])
      expect(
        told.filter((line) => line.includes(word)),
        word,
      ).toHaveLength(1);
    for (const line of told) expect(line).toMatch(/^etchwright: .+\. (Give|Did you mean|See) .+[.?]$/);
  });

  test('an unknown key of a job file suggests the near one; a flag in it its key', async () => {
    const told = await messages([FLAT], { process: 'relief', widhtMm: 20, 'max-pixels': 5, xyzzy: 1 });
    expect(told[0]).toContain('Did you mean "widthMm"?');
    expect(told[1]).toContain('Did you mean "maxPixels"?');
    expect(told[2]).toContain('etchwright schema job');
  });

  test('found by a thread while a screen is built, it is told like any other', async () => {
    const wide = ['--process', 'intaglio', '--width', '20', '--dpi', '2000', '--spot', '2', '--workers', '2'];
    const [told] = await messages([FLAT, ...wide]);
    expect(told).toMatch(
      /^etchwright: Predicting the etched area: the spot is 157\.\d+ pixels wide.+\. Give the spot/,
    );
  });

  test('ends its sentences once', async () => {
    const [told] = await messages([FLAT, '--process', 'relief', '--width', '20', '--grain', '0.03']);
    expect(told).toMatch(/wide to hold\. Ask for/);
  });

  test('an unknown flag suggests the near one', async () => {
    expect(await messages([FLAT, '--widht', '20'])).toEqual([
      'etchwright: There is no option --widht. Did you mean --width?',
    ]);
  });

  test('where nothing is near, the help of the command is named', async () => {
    const help = 'See `etchwright prepare --help`.';
    expect(await messages([FLAT, '--xyzzy'])).toEqual([`etchwright: There is no option --xyzzy. ${help}`]);
    expect(await messages([FLAT, '--width'])).toEqual([
      `etchwright: --width wants a value: <length>. ${help}`,
    ]);
  });

  test('a value in the wrong case or nearly right is told its right form', async () => {
    expect(await messages([FLAT, '--process', 'Relief'])).toEqual([
      'etchwright: --process: "Relief" is not understood. Did you mean relief?',
    ]);
    const told = await messages([FLAT, '--process', 'intaglio', '--kernel', 'stuki', '--format', 'tif,PNG']);
    expect(told[0]).toMatch(/Did you mean stucki\? Give one of floyd-steinberg, .+/);
    expect(told[1]).toMatch(/Did you mean tiff\? Give one of png, .+/);
  });

  test('a bad value of another screen’s setting: that it belongs there, not how it is spelt', async () => {
    const bayer = ['--process', 'relief', '--width', '20', '--screen', 'bayer'];
    expect(await messages([FLAT, ...bayer, '--kernel', 'x'])).toEqual([
      expect.stringMatching(/--kernel belongs to the screen errordiffusion, but the screen is bayer/),
    ]);
    // but not while nobody knows which screen was meant
    const unknown = [...bayer.slice(0, -1), 'bayr', '--kernel', 'stucki'];
    expect(await messages([FLAT, ...unknown])).toEqual([expect.stringContaining('Did you mean bayer?')]);
  });

  test('a setting of another screen than the chosen one', async () => {
    const job = ['--process', 'relief', '--width', '20', '--screen', 'threshold'];
    const told = await messages([FLAT, ...job, '--matrix', '8']);
    expect(told).toHaveLength(1);
    expect(told[0]).toMatch(/--matrix belongs to the screen bayer, but the screen is threshold/);
  });

  test('settings that no screen has together', async () => {
    const told = await messages([
      FLAT,
      ...['--process', 'relief', '--width', '20', '--matrix', '8', '--kernel', 'stucki'],
    ]);
    expect(told).toHaveLength(1);
    expect(told[0]).toMatch(/No screen has --kernel \(errordiffusion\) and --matrix \(bayer\) together/);
  });

  test('rules over several settings', async () => {
    const size = ['--process', 'intaglio', '--width', '20', '--border', '10'];
    const told = await messages([FLAT, ...size, '--floor', '90', '--blackpoint', '60', '--whitepoint', '50']);
    expect(told.map((line) => /--\w+/.exec(line)?.[0])).toEqual(['--floor', '--blackpoint', '--border']);
  });

  test('no process', async () => {
    const told = await messages([FLAT, '--width', '20']);
    expect(told).toEqual([expect.stringContaining('--process relief or --process intaglio')]);
  });

  test('no size for a picture that does not say how large it is', async () => {
    const told = await messages([FLAT, '--process', 'relief']);
    expect(told).toEqual([expect.stringContaining('Give --width or --height')]);
  });

  test('no picture, a job file that is not there, not JSON, not an object', async () => {
    expect((await messages(['--process', 'relief']))[0]).toContain('No picture is given');
    expect((await messages([FLAT, '--job', 'none.json']))[0]).toContain('there is no such file');
    save(place.path, 'b.json', Buffer.from('{"process": '));
    expect((await messages([FLAT, '--job', 'b.json']))[0]).toContain('it is not JSON');
    expect((await messages([FLAT], []))[0]).toContain('does not hold one JSON object');
  });

  test('what cannot go out together', async () => {
    const sized = ['--process', 'relief', '--width', '20'];
    const told = await messages([FLAT, FLAT, ...sized, '--out', '-', '--format', 'png,tiff', '--name', 'a']);
    expect(told).toHaveLength(3);
    expect((await messages([FLAT, ...sized, '--out', '-', '--json']))[0]).toContain(
      'Standard output is wanted',
    );
  });
});
