/** Template of the press bed and jig of a set as Poppler and Ghostscript see them: true to size. */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { cli, freshPlace } from '../cli/run-cli.ts';

const place = freshPlace();
const PPI = 254;
/** Of the renderings: so many pixels, so many tenths of a millimetre. */
const PX_PER_MM = PPI / 25.4;
/** Lines are a tenth of a millimetre wide, a pixel; a renderer may lay it in the next. */
const NEAR_MM = 0.11;

const says = (command: string, ...args: string[]): string => execFileSync(command, args).toString();

interface Seen {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Middles of the dark places of a row or column, in mm. */
  across(yMm: number): number[];
  down(xMm: number): number[];
}

async function seen(png: string): Promise<Seen> {
  const { data, info } = await sharp(png)
    .flatten({ background: '#fff' })
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const { width, height } = info;
  const middles = (length: number, at: (i: number) => number): number[] => {
    const found: number[] = [];
    for (let i = 0, from = -1; i <= length; i++) {
      const dark = i < length && at(i) < 160;
      if (dark && from < 0) from = i;
      if (!dark && from >= 0) {
        found.push((from + i) / 2 / PX_PER_MM);
        from = -1;
      }
    }
    return found;
  };
  return {
    widthMm: width / PX_PER_MM,
    heightMm: height / PX_PER_MM,
    across: (yMm) => middles(width, (x) => data[Math.round(yMm * PX_PER_MM) * width + x]!),
    down: (xMm) => middles(height, (y) => data[y * width + Math.round(xMm * PX_PER_MM)]!),
  };
}

/** A page as both programs draw it. */
async function drawn(pdf: string): Promise<Seen[]> {
  const file = join(place.path, pdf);
  says('pdftoppm', '-r', String(PPI), '-png', '-singlefile', file, `${file}.poppler`);
  says(
    'gs',
    ...['-q', '-dSAFER', '-dBATCH', '-dNOPAUSE', '-sDEVICE=pnggray', `-r${PPI}`],
    `-o${file}.gs.png`,
    file,
  );
  return [await seen(`${file}.poppler.png`), await seen(`${file}.gs.png`)];
}

const near = (found: readonly number[], mm: number): boolean =>
  found.some((at) => Math.abs(at - mm) < NEAR_MM);

test('sheet and stretched plate of the template have their sizes, its ruler 100 mm; the strip of the pins is 120 × 24 mm', async () => {
  await sharp({ create: { width: 300, height: 200, channels: 3, background: '#3d5a80' } })
    .png()
    .toFile(join(place.path, 'sea.png'));
  const run = await cli(place, [
    ...['separate', '--plate', 'sea=sea.png', '--process', 'relief', '--width', '120mm', '--dpi', '100'],
    ...['--border', '10mm', '--screen', 'threshold', '--register', 'pins', '--name', 'sea', '--quiet'],
    ...['--bed-template', '--paper-size', '21 x 15cm', '--stretch-x', '2%', '--stretch-y', '1%'],
  ]);
  expect([run.code, run.err]).toEqual([0, '']);
  // 120 ÷ 0.98; the picture is 100 wide and two thirds as high, and 20 of border: 86.667 ÷ 0.99
  const [plateW, plateH] = [122.449, 87.542];
  const size = /Page size:\s+([\d.]+) x ([\d.]+) pts/.exec(says('pdfinfo', join(place.path, 'sea.bed.pdf')))!;
  const pageMm = size.slice(1).map((points) => (Number(points) * 25.4) / 72);
  expect(says('pdfinfo', join(place.path, 'sea.bed.pdf'))).toMatch(/Pages:\s+1\n/);
  for (const page of await drawn('sea.bed.pdf')) {
    expect(Math.abs(page.widthMm - pageMm[0]!)).toBeLessThan(NEAR_MM);
    expect(Math.abs(page.heightMm - pageMm[1]!)).toBeLessThan(NEAR_MM);
    const middle = page.widthMm / 2;
    // a row through the plate, off its centre line: the plate's sides, and where dashes are the sheet's
    const rows = Array.from({ length: 8 }, (_, i) => page.across(60 + i));
    for (const row of rows)
      for (const side of [-1, 1]) expect(near(row, middle + (side * plateW) / 2)).toBe(true);
    for (const side of [-1, 1]) expect(rows.some((row) => near(row, middle + side * 105))).toBe(true);
    const columns = Array.from({ length: 8 }, (_, i) => page.down(middle - 45 + i));
    const top = Math.min(...columns.flat());
    expect(columns.some((column) => near(column, top) && near(column, top + 150))).toBe(true);
    for (const column of columns)
      for (const side of [-1, 1]) expect(near(column, top + 75 + (side * plateH) / 2)).toBe(true);
    // the ruler stands 14 mm below the sheet: 101 ticks a millimetre apart
    const ticks = page.across(top + 150 + 13);
    expect(ticks.length).toBe(101);
    expect(Math.abs(ticks.at(-1)! - ticks[0]! - 100)).toBeLessThan(NEAR_MM);
  }
  for (const strip of await drawn('sea.jig.pdf')) {
    const row = strip.across(strip.heightMm - 7);
    const column = strip.down(strip.widthMm / 2);
    expect(row.at(-1)! - row[0]!).toBeCloseTo(120, 0);
    expect(column.at(-1)! - column[0]!).toBeCloseTo(24, 0);
    // pins: 80 mm apart, 6 mm wide (ISO 838)
    const holes = strip.across(5 + 12);
    expect(holes.length).toBe(6);
    const [, a, b, c, d] = holes as [number, number, number, number, number, number];
    expect(Math.abs(b - a - 6)).toBeLessThan(NEAR_MM);
    expect(Math.abs((c + d) / 2 - (a + b) / 2 - 80)).toBeLessThan(NEAR_MM);
  }
});
