import { describe, expect, test } from 'vitest';
import type * as z from 'zod';
import type { AnySeparation, Areas, SetInk } from '../../src/core/separations/contract.ts';
import { separations } from '../../src/core/separations/index.ts';
import { jobSettings, settingsOf } from '../../src/job/settings.ts';
import { methodSettings, separateSettings } from '../../src/run/sets/settings.ts';
import { runSchema } from '../../src/run/settings.ts';

const all = Object.entries(separations) as unknown as [string, AnySeparation][];

const greys = (count: number): SetInk[] =>
  Array.from({ length: count }, (_, index) => {
    const share = 1 - (index + 1) / (count + 1);
    const byte = Math.round(share * 255)
      .toString(16)
      .padStart(2, '0');
    return { name: `n${index}`, colour: `#${byte.repeat(3)}`, light: [share, share, share], opaque: true };
  });

describe.each(all)('separation %s', (name, def) => {
  test('is known by its own name, says in a line what it does, and its inks are few enough for labels and proofs', () => {
    expect(def.kind).toBe(name);
    expect(def.summary).toMatch(/^\p{Ll}.{10,}[^.]$/u);
    const { least, most, found } = def.inks;
    expect(least).toBeGreaterThanOrEqual(1);
    expect(most).toBeLessThanOrEqual(8);
    if (found !== null) expect(found >= least && found <= most).toBe(true);
  });

  test.each([0, 1])(
    'with its defaults it gives every ink or sheet a plate of the whole canvas, or a tone for each pixel (%d more than the least)',
    (more) => {
      const inks = greys(Math.max(def.inks.least, 2) + more);
      const way = def.way(def.params.parse({}));
      if (way.draws === 'tones') {
        const tones = inks.map(() => new Uint16Array(3).fill(7));
        const split = way.open(way.build(inks, [1, 1, 1]), inks.length);
        split(Uint8Array.of(255, 255, 255, 90, 140, 60, 0, 0, 0), tones);
        // bare paper asks for no ink
        for (const tone of tones) expect(tone[0]).toBe(0);
        expect(Math.max(...tones.map((tone) => tone[2]!))).toBeGreaterThan(0);
        return;
      }
      const [widthPx, heightPx] = [37, 11];
      const data = Uint8Array.from({ length: widthPx * heightPx }, (_, i) => (i >> 3) % (inks.length + 1));
      const areas: Areas = { labels: { widthPx, heightPx, data: data.slice() }, asked: null };
      const { plates, cut } = way.shape(areas, { pxPerMm: 5, inks, smallestPx: 2, kerfMm: 0 });
      expect(plates).toHaveLength(cut ? cut.plates.length : inks.length);
      expect(cut !== undefined).toBe(way.cuts !== undefined);
      for (const plate of plates) {
        expect([plate.widthPx, plate.heightPx]).toEqual([widthPx, heightPx]);
        for (let y = 0; y < heightPx; y++)
          expect(plate.data[(y + 1) * plate.strideBytes - 1]! & 0x07).toBe(0);
      }
    },
  );
});

test('a setting that two separations have is one setting', () => {
  const seen = new Map<string, z.ZodType>();
  for (const [, { params }] of all)
    for (const [key, field] of Object.entries(params.shape) as [string, z.ZodType][]) {
      const known = seen.get(key);
      if (known) expect(known).toBe(field);
      seen.set(key, field);
    }
});

test('no flag of a set or a method is one of a job or a run', () => {
  const flags = [jobSettings, settingsOf(runSchema), settingsOf(separateSettings), settingsOf(methodSettings)]
    .flat()
    .map(({ flag }) => flag);
  expect(flags.filter((flag, index) => flags.indexOf(flag) < index)).toEqual([]);
  expect(flags).not.toContain('plate');
  expect(flags).not.toContain('plate-job');
});
