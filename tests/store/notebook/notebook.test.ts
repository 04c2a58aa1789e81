import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compareEntries } from '../../../src/store/notebook/changes.ts';
import { csvHead, csvLine } from '../../../src/store/notebook/csv.ts';
import { entryOf, entrySchema, notebookLines } from '../../../src/store/notebook/entry.ts';
import { askedWords, fits } from '../../../src/store/notebook/find.ts';
import { lastSeen } from '../../../src/store/notebook/pages.ts';
import { migrated, openNumbering, readLine as readAny } from '../../../src/store/read-line.ts';
import { noteEntry, plateEntry } from './entries.ts';

const readLine = (line: string) => readAny(line, notebookLines);

const page = (over = {}, seen = {}) => {
  const plate = plateEntry(over);
  return { number: 3, entry: plate, notes: [noteEntry(plate.id, seen)] };
};

describe('reading lines', () => {
  test('an entry comes back as it was written', () => {
    for (const entry of [plateEntry(), noteEntry('e00000000001', { verdict: 'held', words: 'crisp' })])
      expect(readLine(JSON.stringify(entry))).toEqual({ entry });
  });

  test('a line cut anywhere is told as torn and never thrown', () => {
    const whole = JSON.stringify(plateEntry());
    fc.assert(
      fc.property(fc.integer({ min: 1, max: whole.length - 1 }), (cut) => {
        expect(readLine(whole.slice(0, cut))).toMatchObject({ fault: 'torn' });
      }),
      { seed: 1 },
    );
  });

  test('an entry that was added behind a torn one in the same line is read, and the tear is told', () => {
    const torn = JSON.stringify(plateEntry({ name: 'torn' }));
    const after = plateEntry({ name: 'after', id: 'e00000000002' });
    fc.assert(
      fc.property(fc.integer({ min: 1, max: torn.length }), (cut) => {
        const faults: number[] = [];
        const read = openNumbering(notebookLines, ({ line }) => faults.push(line));
        expect(read(torn.slice(0, cut) + JSON.stringify(after))).toEqual({ number: 1, entry: after });
        expect(faults).toEqual([1]);
      }),
      { seed: 5 },
    );
  });

  test('whatever stands in a line, it is an entry or a fault', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json()), (line) => {
        expect(readLine(line)).toHaveProperty('fault');
      }),
      { seed: 2 },
    );
  });

  test('an entry of a newer version is passed over by name; one with a fault says where', () => {
    expect(readLine(JSON.stringify({ ...plateEntry(), version: 7 }))).toMatchObject({
      fault: 'newer',
      what: 'a newer etchwright wrote it (version 7)',
    });
    const { bitsSha256: _, ...without } = plateEntry();
    expect(readLine(JSON.stringify(without))).toMatchObject({
      fault: 'unknown',
      what: expect.stringContaining('bitsSha256'),
    });
  });

  test('older versions are led up step by step; a missing step is told', () => {
    const steps = new Map([
      [1, (value: Record<string, unknown>) => ({ ...value, b: Number(value['a']) + 1 })],
      [2, ({ a: _, ...value }: Record<string, unknown>) => value],
    ]);
    const rules = { migrations: steps, version: 3 };
    expect(migrated({ version: 1, a: 1 }, rules)).toEqual({ version: 3, b: 2 });
    expect(migrated({ version: 2, a: 1 }, rules)).toEqual({ version: 3 });
    expect(migrated({ version: 0 }, rules)).toBeNull();
    expect(migrated({}, rules)).toBeNull();
  });

  test('numbers count entries and are not moved by lines that cannot be read', () => {
    const faults: number[] = [];
    const numbered = openNumbering(notebookLines, ({ line }) => faults.push(line));
    const lines = [plateEntry(), null, '', 'torn{', plateEntry({ name: 'second' })];
    const numbers = lines.map((line) => numbered(typeof line === 'string' ? line : JSON.stringify(line)));
    expect(numbers.map((one) => one?.number ?? null)).toEqual([1, null, null, null, 2]);
    expect(faults).toEqual([2, 4]);
  });

  test('a draft with a fault is not written', () => {
    const { version: _, id: __, at: ___, ...draft } = plateEntry({ bitsSha256: 'no hash' });
    expect(() => entryOf(draft, 'e00000000001', '2031-05-03T09:00:00.000Z')).toThrow();
    expect(() => entryOf({ ...draft, bitsSha256: plateEntry().bitsSha256 }, 'e1', 'yesterday')).toThrow();
    expect(entrySchema.safeParse(plateEntry()).success).toBe(true);
  });
});

describe('comparing', () => {
  test('only what changed is told', () => {
    const first = plateEntry();
    expect(compareEntries(first, first)).toEqual({
      sameKind: true,
      sameBits: true,
      changed: [],
      came: [],
      newCautions: [],
      goneCautions: [],
    });
    const second = plateEntry({
      job: { ...first.job, dpi: 600, cellMm: 0.15 },
      material: { ...first.material!, batch: 'B8' },
      coverage: { etched: 0.57, inked: 0.43, predicted: 0.66 },
      hold: [{ code: 'thin-walls', limitMm: 0.4, worstMm: 0.1, count: 3, areaMm2: 1 }],
      cautions: [{ code: 'gaps-fill', severity: 'warn', text: '9 gaps fill' }],
      bitsSha256: 'd'.repeat(64),
    });
    expect(compareEntries(first, second)).toEqual({
      sameKind: true,
      sameBits: false,
      changed: [
        { what: 'dpi', from: 500, to: 600 },
        { what: 'batch', from: 'B7', to: 'B8' },
        { what: 'cellMm', from: null, to: 0.15 },
      ],
      came: [
        { what: 'etched', from: 0.58, to: 0.57 },
        { what: 'inked', from: 0.42, to: 0.43 },
        { what: 'thin-walls: places', from: 12, to: 3 },
      ],
      newCautions: ['9 gaps fill'],
      goneCautions: ['12 walls are thin'],
    });
  });

  test('a picture of the same name with other bytes is another picture', () => {
    const second = plateEntry({ input: { name: 'ferry.png', sha256: 'f'.repeat(64), path: null } });
    expect(compareEntries(plateEntry(), second).changed.map(({ what }) => what)).toEqual(['pictureSha256']);
  });
});

describe('finding', () => {
  test.each([
    ['cherry, 45 lpi: held?', true],
    ['cherry, 45 lpi: what held?', true],
    ['What did cherry at 45 lpi?', true],
    ['cherry, 45 lpi: what failed?', false],
    ['cherry 45lpi', true],
    ['cherry 46,0 lpi', false],
    ['CHERRY b7', true],
    ['60 mm dot', true],
    ['lime', false],
    ['45', false],
  ])('"%s": %s', (asked, found) => {
    expect(fits(page({}, { verdict: 'held' }), { words: askedWords([asked]) })).toBe(found);
  });

  test('flags must fit exactly; the last verdict counts', () => {
    const plate = plateEntry();
    const notes = [noteEntry(plate.id, { verdict: 'held' }), noteEntry(plate.id, { verdict: 'failed' })];
    const twice = { number: 1, entry: plate, notes };
    expect(lastSeen(twice).verdict).toBe('failed');
    expect(fits(twice, { words: [], verdict: 'held' })).toBe(false);
    expect(fits(twice, { words: ['held'] })).toBe(false);
    expect(fits(page({}, { words: 'the rigging held' }), { words: ['held'] })).toBe(true);
    expect(fits(twice, { words: [], verdict: 'failed', screen: 'dot', process: 'relief' })).toBe(true);
    expect(fits(twice, { words: [], material: 'Cherry' })).toBe(true);
    expect(fits(twice, { words: [], material: 'lino' })).toBe(false);
    expect(fits(twice, { words: [], process: 'intaglio' })).toBe(false);
  });
});

test('the table is read back by a reader of RFC 4180, and no cell is run as a formula', () => {
  fc.assert(
    fc.property(fc.string({ minLength: 1 }), fc.string({ minLength: 1 }), (ink, words) => {
      const one = page({}, { ink, words, verdict: 'held' });
      const [row] = parse(csvHead() + csvLine(one), { columns: true }) as Record<string, string>[];
      const safe = (text: string): string => (/^[=+\-@\t\r]/.test(text) ? `'${text}` : text);
      expect(row).toMatchObject({ number: '3', ink: safe(ink), seen: safe(words), verdict: 'held' });
      expect(row!['bitsSha256']).toBe(plateEntry().bitsSha256);
    }),
    { seed: 3 },
  );
});
