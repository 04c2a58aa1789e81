import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import { describe, expect, test } from 'vitest';
import type { AnyScreenDef } from '../../src/core/screens/contract.ts';
import { screens } from '../../src/core/screens/index.ts';

const examples = join(import.meta.dirname, '../../examples');
const page = readFileSync(join(examples, 'gallery.md'), 'utf8');
const defs = Object.values<AnyScreenDef>(screens);
const drawn = defs.filter(({ draws }) => draws === 'bits').map(({ kind }) => kind);
/** Where this fails, the cure is `npm run gallery`. */
const shown = [...page.matchAll(/\]\((gallery\/[^)]+)\)/g)].map(([, path]) => path!);

describe('the gallery', () => {
  test('names every screen of the registry, those that draw marks in its order', () => {
    const headings = [...page.matchAll(/^## (.+)$/gm)].map(([, heading]) => heading);
    expect(headings.slice(0, drawn.length)).toEqual(drawn);
    for (const { kind, draws } of defs) if (draws !== 'bits') expect(page).toContain(`\`${kind}\``);
  });

  test('shows plate, print and detail of each, and holds no picture that is not shown', () => {
    for (const kind of drawn)
      for (const view of ['plate', 'print', 'detail']) expect(shown).toContain(`gallery/${kind}.${view}.png`);
    const files = readdirSync(join(examples, 'gallery')).map((name) => `gallery/${name}`);
    expect(files.sort()).toEqual([...new Set(shown)].sort());
  });

  test('is light: a megabyte and a half at most', () => {
    const bytes = shown.reduce((sum, path) => sum + readFileSync(join(examples, path)).length, 0);
    expect(bytes).toBeLessThan(1.5e6);
  });

  // read by a decoder from outside the project
  test.each(drawn)('%s: the plate is black and white alone, and neither empty nor full', (kind) => {
    const { data } = PNG.sync.read(readFileSync(join(examples, `gallery/${kind}.plate.png`)));
    const greys = data.filter((_, i) => i % 4 === 0);
    expect(greys.every((grey) => grey === 0 || grey === 255)).toBe(true);
    const fired = greys.filter((grey) => grey === 0).length / greys.length;
    expect(fired).toBeGreaterThan(0.05);
    expect(fired).toBeLessThan(0.6);
  });
});
