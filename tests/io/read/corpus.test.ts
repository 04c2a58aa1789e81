import { readdirSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { EtchError } from '../../../src/core/errors.ts';
import { corpusFiles, emptyFolder, expected, greyOf, openCorpus } from './pictures.ts';

describe('every good and odd file loads as independent readers see it', () => {
  test.each(Object.entries(expected))('%s', async (file, wanted) => {
    const picture = await openCorpus(file);
    const { facts } = picture;
    const { stored, upright, orientation, alpha, ppi, profile, tolerance = 1 } = wanted;
    expect([facts.widthPx, facts.heightPx]).toEqual(stored);
    expect([facts.uprightWidthPx, facts.uprightHeightPx]).toEqual(upright);
    expect(facts).toMatchObject({ orientation, alpha, profile: profile ?? null, frames: 1 });
    if (ppi === undefined) expect([facts.ppiX, facts.ppiY]).toEqual([null, null]);
    else expect(facts.ppiX).toBeCloseTo(ppi, 3);
    const grey = greyOf(picture);
    const misses = wanted.probes
      .map(([x, y, code]) => ({ x, y, code, seen: grey.at(x, y) }))
      .filter(({ code, seen }) => Math.abs(seen - code) > tolerance);
    expect(misses).toEqual([]);
    for (const [x, y, code] of wanted.probes16 ?? []) expect(grey.raw(x, y)).toBe(code);
  });
});

describe('every broken file ends cleanly within 5 s', () => {
  test.each(corpusFiles('broken'))('%s', async (file) => {
    const scratchDir = emptyFolder();
    const started = performance.now();
    const error = await openCorpus(file, { scratchDir }).then(
      () => undefined,
      (reason: unknown) => reason,
    );
    expect(error).toBeInstanceOf(EtchError);
    expect(error).toMatchObject({ kind: 'input', message: expect.stringContaining(`"${file.slice(7)}"`) });
    expect(performance.now() - started).toBeLessThan(5000);
    expect(readdirSync(scratchDir)).toEqual([]);
  });
});
