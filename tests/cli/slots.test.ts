import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import * as z from 'zod';
import { slotsSchema } from '../../src/report/slots-schema.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();

interface Told {
  readonly count: number;
  readonly plan?: readonly { dpi: number; file: string | null; timeS: number | null }[];
  readonly clearing?: { finePasses: number };
}

/** A report in as few words as a plan needs. */
const write = (name: string, passes: Told | null, perPassMin: number | null, more: object = {}): void =>
  writeFileSync(
    join(place.path, name),
    JSON.stringify({
      schema: 'etchwright/report',
      passes,
      time: perPassMin === null ? null : { perPassS: perPassMin * 60, totalS: 0 },
      ...more,
    }),
  );

const pass = (dpi: number, file: string, minutes: number) => ({ dpi, file, timeS: minutes * 60 });

/** A block with one pass of 39 min and three of 20. */
const ferry = (): void =>
  write(
    'ferry.report.json',
    {
      count: 4,
      plan: [
        pass(500, 'ferry.plate.png', 39),
        ...[1, 2, 3].map((n) => pass(250, `ferry.clear${n}.plate.png`, 20)),
      ],
      clearing: { finePasses: 1 },
    },
    39,
  );

describe('slots', () => {
  test('a block goes into two slots, parted before a clearing pass: exit 0, and a table of 80 columns', async () => {
    ferry();
    const { code, out, err } = await cli(place, [
      'slots',
      'ferry.report.json',
      '--slot',
      '65min',
      '--slot',
      '1.1h',
    ]);
    expect([code, err]).toEqual([0, '']);
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    expect(out).toContain('1 sheet into 2 slots: all fit');
    expect(out).toMatch(/ferry, passes 1 to 2 of 4, fine and clearing +59:00\n/);
    expect(out).toMatch(/ferry, passes 3 to 4 of 4, clearing +40:00\n/);
    expect(out.replaceAll(/\s+/g, ' ')).toContain('ferry comes off the bed before pass 3');
  });

  test('what finds no room is told with the slots it would take: exit 5, on standard error too', async () => {
    ferry();
    for (const name of ['a', 'b']) write(`${name}.report.json`, { count: 1 }, 30);
    const run = await cli(place, [
      'slots',
      'ferry.report.json',
      'a.report.json',
      'b.report.json',
      '--slots',
      '110,40',
      '--json',
    ]);
    expect(run.code).toBe(5);
    const plan = slotsSchema.parse(JSON.parse(run.out));
    expect(plan).toMatchObject({ fits: false, best: true, changeS: 300, reserveS: 300 });
    // the fewest left out: one of the short ones, not the block
    expect(plan.dropped).toEqual([{ name: 'b', totalS: 1800 }]);
    expect(plan.needed).toEqual({ slots: 3, ofS: 6600 });
    expect(plan.slots[0]).toMatchObject({ lengthS: 6600, usedS: 99 * 60, spareS: 360 });
    expect(JSON.parse(run.err)).toMatchObject({ error: { code: 'does-not-fit' } });
  });

  test('gang sheets are planned one by one, each with its own time', async () => {
    write('gang.json', { count: 2, plan: [] }, null, {
      schema: 'etchwright/gang',
      sheets: [
        { number: 1, time: { perPassS: 1800 } },
        { number: 2, time: { perPassS: 600 } },
      ],
    });
    const { code, out } = await cli(place, [
      'slots',
      'gang.json',
      '--slots',
      '90,30',
      '--change',
      '0',
      '--reserve',
      '0',
      '--json',
    ]);
    const plan = slotsSchema.parse(JSON.parse(out));
    expect(code).toBe(0);
    expect(plan.sheets.map(({ name, totalS }) => [name, totalS])).toEqual([
      ['gang sheet 1', 3600],
      ['gang sheet 2', 1200],
    ]);
    expect(plan.slots.map(({ parts }) => parts.map(({ name }) => name))).toEqual([
      ['gang sheet 1', 'gang sheet 2'],
      [],
    ]);
  });

  test('what is wrong is told at once, with what to do', async () => {
    writeFileSync(join(place.path, 'list.json'), '{"a":1}');
    write('timeless.report.json', { count: 2 }, null);
    write('plain.report.json', null, 10);
    const cases: readonly (readonly [args: string[], words: RegExp])[] = [
      [[], /No booked slot.*\n?.*No report/s],
      [['plain.report.json', '--slots', '60,ten'], /--slots: "ten" is no length of a slot/],
      [['plain.report.json', '--slots', '60', '--slot', 'ten'], /--slot: "ten" is no length of a slot/],
      [['plain.report.json', '--slot', '-5'], /slot/],
      [['plain.report.json', '--slots', '5'], /nothing is left of 5 min when 5 min are kept free/],
      [['list.json', '--slots', '60'], /Reading the report list.json/],
      [['timeless.report.json', '--slots', '60'], /it tells no time/],
    ];
    for (const [args, words] of cases) {
      const run = await cli(place, ['slots', ...args]);
      expect(run.code, args.join(' ')).toBe(2);
      expect(run.err).toMatch(words);
    }
    // a report that knows of no passes is one pass
    expect((await cli(place, ['slots', 'plain.report.json', '--slots', '15'])).code).toBe(0);
  });

  test('its JSON Schema is that of `schema slots`', async () => {
    const { out } = await cli(place, ['schema', 'slots']);
    expect(JSON.parse(out)).toEqual({ ...z.toJSONSchema(slotsSchema), title: 'etchwright slots' });
  });
});

test('a dry run of clearing plates tells what they come to, and writes nothing', async () => {
  const picture = join(import.meta.dirname, '../../examples/ferry-key.png');
  const args = [
    'prepare',
    picture,
    '--process',
    'relief',
    '--width',
    '90mm',
    '--material',
    'wood',
    '--depth',
    '1.5mm',
    '--clearing',
  ];
  const dry = await cli(place, [...args, '--dry-run', '--json', '--press', 'x']);
  // no such press without a workshop file: told, and nothing else is
  expect(dry.code).toBe(2);
  const run = await cli(place, [...args, '--dry-run', '--json']);
  expect(run.code, run.err).toBe(0);
  const { passes, files } = JSON.parse(run.out);
  expect(files).toEqual([]);
  expect(passes.plan[0]).toMatchObject({ dpi: 500, file: null });
  expect(passes.clearing).toMatchObject({ finePasses: 1, ratio: 2 });
  const streamed = await cli(place, [...args, '--out', '-']);
  expect([streamed.code, streamed.out]).toEqual([2, '']);
  expect(streamed.err).toContain('--clearing makes several');
  const granite = await cli(place, [
    'prepare',
    picture,
    '--process',
    'relief',
    '--width',
    '90mm',
    '--material',
    'granite',
    '--clearing',
    '--depth',
    '2mm',
  ]);
  expect(granite.code).toBe(2);
  expect(granite.err).toContain('how deep one pass goes in granite');
});
