import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { seenInPng } from '../run/judges.ts';
import { photograph, save } from '../run/pictures.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
const at = (name: string): string => join(place.path, name);

async function edition(...args: string[]) {
  const run = await cli(place, ['edition', ...args]);
  expect(run.code, run.err).toBe(0);
  return run;
}

async function refused(code: number, ...args: string[]): Promise<string> {
  const run = await cli(place, ['edition', ...args]);
  expect(run.code, run.err + run.out).toBe(code);
  return run.err;
}

test('the demo print from its plan to its closed ledger, its cancelled plate and its sheets', async () => {
  save(place.path, 'ferry.png', photograph(60, 40));
  await cli(place, ['prepare', 'ferry.png', '--process', 'relief', '--width', '24', '--quiet']);
  const sizes = ['--edition', '24', '--ap', '3', '--pp', '2', '--pulls', '3'];
  expect(JSON.parse((await edition('plan', ...sizes, '--json')).out)).toEqual({
    wanted: 31,
    pulls: 3,
    lossPercent: 5,
    sheets: 37,
  });
  const begun = await edition('begin', 'Night', 'Ferry <b>', '--artist', 'M. Quay', ...sizes);
  expect(begun.out.trim()).toBe('night-ferry-b.edition.jsonl');
  await edition('plate', 'key', '--report', 'ferry.report.json');
  expect(await refused(5, 'number', 'edition', '1-24')).toContain('BAT');
  await edition('pull', 'key', '37', '--spoiled', '6');
  await edition('proof', 'bat', 'warm', 'black', '--by', 'M. Quay');
  await edition('number', 'edition', '1-24', '--from', 'key');
  expect(await refused(5, 'number', 'edition', '7')).toContain('given already');
  await edition('number', 'AP', '1-3');
  await edition('number', 'pp', '1,2');
  const { entry } = JSON.parse((await edition('spoil', 'pp', '2,2', 'torn', '--json')).out);
  expect(entry).toMatchObject({ count: 1, numbers: [2] });
  await edition('correct', entry.id, 'it was another');
  await edition('proof', 'archive');
  expect(await refused(5, 'close')).toContain('6 of 37 sheets are not accounted for');
  await edition('spoil', '6', 'wiped out');
  await edition('close');
  await edition('deface', 'key');
  const cross = seenInPng(readFileSync(at('night-ferry-b.key.cancelled.plate.png')));
  const plate = seenInPng(readFileSync(at('ferry.plate.png')));
  expect([cross.widthPx, cross.heightPx]).toEqual([plate.widthPx, plate.heightPx]);
  // corners and centre are struck, the middles of the sides are not
  const { widthPx: w, heightPx: h, black } = cross;
  const isStruck = (x: number, y: number): boolean => black[y * w + x] === 1;
  expect([isStruck(0, 0), isStruck(w - 1, 0), isStruck(0, h - 1), isStruck(w >> 1, h >> 1)]).toEqual([
    true,
    true,
    true,
    true,
  ]);
  expect([isStruck(w >> 1, 0), isStruck(0, h >> 1), isStruck(w - 1, h >> 1)]).toEqual([false, false, false]);
  await edition('cancel', 'key', 'cross engraved');
  await edition('proof', 'cancellation');

  const shown = JSON.parse((await edition('show', '--json')).out);
  expect(shown.edition).toMatchObject({ inHand: 0, spoiled: 6, sheets: 37 });
  expect(shown.edition.marks.map(({ given }: { given: number }) => given)).toEqual([24, 3, 2, 0]);
  await edition('sheet');
  await edition('disclose');
  const disclosure = readFileSync(at('night-ferry-b.disclosure.html'), 'utf8');
  expect(disclosure).toContain('Not legal advice');
  for (const file of readdirSync(place.path).filter((name) => name.endsWith('.html')))
    expect(readFileSync(at(file), 'utf8')).not.toContain('<b>');
});

test('a ledger is shown in 80 columns, with the name of a title that has accents', async () => {
  const words = Array.from({ length: 40 }, () => 'gulls');
  const begun = await edition('begin', 'Été', ...words.slice(0, 20), '--artist', 'M. Quay', '--edition', '5');
  expect(begun.out).toMatch(/^ete-gulls/);
  await edition('proof', 'trial', ...words, '--by', 'M. Quay');
  const shown = (await edition('show')).out;
  for (const line of shown.split('\n')) expect(line.length, line).toBeLessThanOrEqual(80);
  expect(shown).toContain('trial, by M. Quay');
  expect(await refused(2, 'proof', 'ap')).toContain('edition number AP');
});

test('what is not clear is told, and nothing is entered', async () => {
  expect(await refused(2, 'show')).toContain('no ledger in this folder');
  expect(await refused(2, 'begin', 'Ferry')).toContain('--artist is not given');
  await edition('begin', 'Ferry', '--artist', 'M. Quay', '--edition', '5');
  expect(await refused(4, 'begin', 'Ferry', '--artist', 'M. Quay', '--edition', '5')).toContain(
    'already there',
  );
  const before = readFileSync(at('ferry.edition.jsonl'));
  expect(await refused(2, 'fold')).toContain('edition cannot "fold"');
  expect(await refused(2, 'plate', 'key')).toContain('--report');
  expect(await refused(2, 'number', 'first', '1')).toContain('edition, AP, PP, HC');
  expect(await refused(2, 'number', 'edition', '3-1')).toContain('1-12,15');
  expect(await refused(2, 'pull', 'key', 'many')).toContain('whole number');
  expect(await refused(2, 'close', '--by', 'x')).toContain('takes no --by');
  expect(await refused(2, 'proof')).toContain('edition proof <trial');
  expect(await refused(5, 'pull', 'key', '3')).toContain('no plate "key"');
  expect(await refused(2, 'plate', '../x', '--report', 'none.json')).toContain('no such file');
  expect(readFileSync(at('ferry.edition.jsonl'))).toEqual(before);
  await edition('begin', 'Other', '--artist', 'M. Quay', '--edition', '5');
  expect(await refused(2, 'show')).toContain('has 2 ledgers');
});

test('a line break in a title or in words makes no line of its own', async () => {
  await edition('begin', 'Gulls\n  edition   5 of 5', '--artist', 'M.\nQuay', '--edition', '5');
  const proof = await edition('proof', 'trial', 'pale\n2026-01-01  all numbered');
  expect(proof.out.trim().split('\n').length).toBe(1);
  const { out } = await edition('show');
  expect(out).toContain('Gulls\\n');
  expect(out).not.toMatch(/^\s*(edition\s+5 of 5|2026-01-01|Quay)/m);
});
