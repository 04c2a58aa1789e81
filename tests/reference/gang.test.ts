/** The labels of a gang as a browser prints them: the page of a sheet is as large as the sheet, and true to scale. */

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, expect, test } from 'vitest';
import { labelSheet } from '../../src/report/gang/labels.ts';
import { gangOf } from '../report/gangs.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-labels-'));
afterAll(() => rmSync(folder, { recursive: true }));

const run = (command: string, ...args: string[]): string =>
  execFileSync(command, args, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });

const PX_PER_MM = 4;

/** Where dark strokes cross a level line, in mm. */
async function strokesAcross(file: string, yMm: number): Promise<number[]> {
  const { data, info } = await sharp(file).toColourspace('b-w').raw().toBuffer({ resolveWithObject: true });
  const found: number[] = [];
  const y = Math.round(yMm * PX_PER_MM);
  for (let x = 1; x < info.width; x++) {
    const dark = (at: number): boolean => data[y * info.width + at]! < 160;
    if (dark(x) && !dark(x - 1)) found.push(x / PX_PER_MM);
  }
  return found;
}

test('sheets of 600 × 400 mm come out 1:1, seen from the back', { timeout: 300_000 }, async () => {
  const page = labelSheet(
    gangOf(
      [
        [
          ['anna', 10, 20, 150, 100],
          ['ben', 170, 20, 100, 150],
        ],
      ],
      600,
      400,
    ),
    'class',
  );
  const html = join(folder, 'labels.html');
  writeFileSync(html, page);
  const pdf = join(folder, 'labels.pdf');
  run(
    'chromium',
    ...['--headless', '--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
    ...['--disable-component-update', '--disable-sync', `--user-data-dir=${join(folder, 'browser')}`],
    ...['--no-pdf-header-footer', `--print-to-pdf=${pdf}`, html],
  );
  const sizes = [...run('pdfinfo', '-l', '9', pdf).matchAll(/Page +(\d+) size: +([\d.]+) x ([\d.]+)/g)];
  const last = sizes.at(-1)!;
  // the browser rounds pages to pixels of CSS, a 96th of an inch
  expect(Math.abs((Number(last[2]) * 25.4) / 72 - 600)).toBeLessThan(0.3);
  expect(Math.abs((Number(last[3]) * 25.4) / 72 - 400)).toBeLessThan(0.3);
  const number = String(sizes.length);
  run(
    'pdftoppm',
    '-r',
    String(PX_PER_MM * 25.4),
    '-png',
    '-f',
    number,
    '-l',
    number,
    '-singlefile',
    pdf,
    pdf,
  );
  // 600 − 170 − 100 = 330 and 600 − 10 − 150 = 440 mm from the left, above all lettering
  const across = (await strokesAcross(`${pdf}.png`, 40)).filter((xMm) => xMm > 1 && xMm < 599);
  expect(across).toHaveLength(4);
  for (const [i, wanted] of [330, 430, 440, 590].entries())
    expect(Math.abs(across[i]! - wanted)).toBeLessThan(0.5);
});
