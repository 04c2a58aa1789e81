/** Clearing plates of real blocks, as independent readers see them. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { resolveJob } from '../../src/job/layers.ts';
import { reportSchema } from '../../src/report/schema.ts';
import { bitsSha256, type Seen, seenInPng } from './judges.ts';
import { type MadePlate, makePlate } from './make.ts';
import { greyPng, save } from './pictures.ts';

// the demo block has 15 million pixels: seconds on an idle machine, many more on a busy one
vi.setConfig({ testTimeout: 120_000, hookTimeout: 300_000 });

const folder = mkdtempSync(join(tmpdir(), 'etchwright-clearing-'));
afterAll(() => rmSync(folder, { recursive: true }));

const read = (name: string): Seen => seenInPng(readFileSync(join(folder, name)));

/** Pixels to the metre that a PNG states (chunk pHYs). */
function perMetre(name: string): number {
  const file = readFileSync(join(folder, name));
  return file.readUInt32BE(file.indexOf('pHYs') + 4);
}

const clearingIn = ({ report }: MadePlate) => report.passes!.clearing!;

/** Depth that a gap wants under a roller of 25 mm radius: the sagitta of the chord; no depth from its diameter on. */
const wanted = (gapMm: number): number => (gapMm < 50 ? 25 - Math.sqrt(625 - (gapMm / 2) ** 2) : Infinity);

describe('the demo block in cherry ply, 3 mm deep', () => {
  let made: MadePlate;
  let plates: Seen[];
  beforeAll(async () => {
    made = await makePlate(
      folder,
      join(import.meta.dirname, '../../examples/ferry-key.png'),
      {
        process: 'relief',
        widthMm: 240,
        dpi: 500,
        material: 'cherry ply',
        materialConfirmed: 'M. Orr, 3 May 2031',
        depthMm: 3,
        clearing: true,
        hold: false,
      },
      'ferry',
      { jobsheet: true },
    );
    plates = clearingIn(made).plates.map(({ file }) => read(file!));
  });

  test('has one pass of the plate and coarser passes where it is open, for at least 30 % less of the minutes', () => {
    const { passes, time } = made.report;
    expect(reportSchema.safeParse(made.report).success).toBe(true);
    expect(passes!.plan.map(({ dpi, file }) => [dpi, file])).toEqual([
      [500, 'ferry.plate.png'],
      ...[1, 2, 3, 4, 5].map((n) => [250, `ferry.clear${n}.plate.png`]),
    ]);
    // rows × (w / v + 2 v / a) at 500 mm/s and 5,000 mm/s²: kinematics; 4,724 × 3,150 pixels of 0.0508 mm
    const fineS = 3150 * ((4724 * 0.0508) / 500 + 0.2);
    const coarseS = 1575 * ((2362 * 0.1016) / 500 + 0.2);
    expect(passes!.plan.map(({ timeS }) => timeS)).toEqual(
      [fineS, ...Array(5).fill(coarseS)].map((s) => expect.closeTo(s, 3)),
    );
    expect(time!.totalS).toBeCloseTo(fineS + 5 * coarseS, 3);
    const { withoutS, savedS } = passes!.clearing!;
    // 3 mm at 0.5 mm a pass
    expect(withoutS).toBeCloseTo(6 * fineS, 3);
    expect(savedS / withoutS).toBeGreaterThanOrEqual(0.3);
    expect(savedS).toBeCloseTo(withoutS - time!.totalS, 6);
  });

  test('reaches the depth that each gap needs, as counted on its files', () => {
    const { gaps, plates: told } = clearingIn(made);
    expect(gaps.count).toBeGreaterThan(5);
    expect(gaps.shallow).toBe(0);
    expect(gaps.places[0]!.widthMm).toBeGreaterThan(20);
    const pitch = 0.0508;
    for (const { xMm, yMm, widthMm, neededMm, reachedMm } of gaps.places) {
      // print-reading places; the files are mirrored
      const x = Math.floor((4724 * pitch - xMm) / (2 * pitch));
      const y = Math.floor(yMm / (2 * pitch));
      const passes = 1 + plates.filter(({ black, widthPx }) => black[y * widthPx + x] === 1).length;
      expect(reachedMm).toBeCloseTo(0.5 * passes, 9);
      expect(neededMm).toBeCloseTo(wanted(widthMm), 6);
      expect(reachedMm).toBeGreaterThanOrEqual(neededMm!);
    }
    for (const { neededMm, reachedMm, gapsOverMm } of told) {
      expect(neededMm).toBeCloseTo(wanted(gaps.places[0]!.widthMm), 6);
      // each begins where the depth before it no longer serves
      expect(wanted(gapsOverMm)).toBeCloseTo(reachedMm - 0.5, 2);
    }
  });

  test('its files lie in register, are what the report says, and fire within the etched ground alone', () => {
    const { plate } = made;
    expect(perMetre('ferry.plate.png')).toBe(19685);
    for (const [n, clear] of plates.entries()) {
      const told = clearingIn(made).plates[n]!;
      const file = made.report.files.find(({ name }) => name === told.file)!;
      expect(file).toMatchObject({ role: 'clearing', fire: 'dark' });
      expect(perMetre(told.file!)).toBe(9843);
      expect([clear.widthPx * 2, clear.heightPx * 2]).toEqual([plate.widthPx, plate.heightPx]);
      expect(bitsSha256(clear)).toBe(told.bitsSha256);
      let outside = 0;
      let unnested = 0;
      for (let y = 0; y < clear.heightPx; y++)
        for (let x = 0; x < clear.widthPx; x++) {
          if (clear.black[y * clear.widthPx + x] === 0) continue;
          const at = 2 * y * plate.widthPx + 2 * x;
          const { black, widthPx } = plate;
          outside += 4 - black[at]! - black[at + 1]! - black[at + widthPx]! - black[at + widthPx + 1]!;
          if (n > 0 && plates[n - 1]!.black[y * clear.widthPx + x] === 0) unnested++;
        }
      expect([outside, unnested]).toEqual([0, 0]);
    }
  });

  test('its job sheet lists the files in the order they are run', () => {
    const page = readFileSync(join(folder, 'ferry.jobsheet.html'), 'utf8');
    const then = [1, 2, 3, 4, 5].map((n) => `<bdi>.clear${n}.plate.png</bdi>`).join(', ');
    expect(page).toContain('First <bdi>ferry.plate.png</bdi> at 500 dpi, 35:42 min.');
    expect(page).toContain(`Then at 250 dpi, in this order: ${then}, 17:51 min each.`);
    expect(page).toContain('the block is not moved');
  });

  test('says that depth and minutes rest on a dose that nobody has measured yet', () => {
    const dose = made.report.cautions.find(({ code }) => code === 'clearing-dose');
    expect(dose).toMatchObject({ severity: 'warn', value: 0.25, limit: 0.5 });
  });
});

/** Ground of a colour with a kept frame of 2 mm and a kept post in the middle; 8 pixels a mm. */
function block(widthMm: number, heightMm: number): string {
  const [w, h] = [widthMm * 8, heightMm * 8];
  const isKept = (x: number, y: number): boolean =>
    Math.min(x, y, w - 1 - x, h - 1 - y) < 16 || (Math.abs(x - w / 2) < 8 && Math.abs(y - h / 2) < 8);
  return save(
    folder,
    `block${widthMm}.png`,
    greyPng(w, h, (x, y) => (isKept(x, y) ? 0 : 255)),
  );
}

const settings = { process: 'relief', screen: 'threshold', material: 'wood', clearing: true, hold: false };

describe('a block of 41.1 × 30.3 mm', () => {
  test('of a size that the coarser pixels do not divide says how far they miss it', async () => {
    const size = { widthMm: 41.1, heightMm: 30.3, dpi: 750, fit: 'fill' };
    const made = await makePlate(folder, block(41, 30), { ...settings, ...size }, 'odd');
    const { ratio, dpi, widthPx, heightPx, residueMm } = clearingIn(made);
    const { plate } = made.report;
    expect([ratio, dpi]).toEqual([3, 250]);
    expect([widthPx, heightPx]).toEqual([Math.floor(plate.widthPx / 3), Math.floor(plate.heightPx / 3)]);
    expect(residueMm.x).toBeCloseTo(widthPx * 0.1016 - (plate.widthPx * 0.1016) / 3, 9);
    expect(residueMm.x).toBeGreaterThan(-0.1016);
    expect(residueMm.y).toBeCloseTo(heightPx * 0.1016 - (plate.heightPx * 0.1016) / 3, 9);
    expect((plate.widthPx % 3) + (plate.heightPx % 3)).toBeGreaterThan(0);
  });

  test('with a measured clearing pass of half the depth takes twice the clearing passes', async () => {
    const [as, half] = [
      await makePlate(folder, block(41, 30), { ...settings, widthMm: 41, dpi: 500 }, 'as'),
      await makePlate(
        folder,
        block(41, 30),
        { ...settings, widthMm: 41, dpi: 500, clearPassMm: 0.25 },
        'half',
      ),
    ];
    const passes = (made: MadePlate) => clearingIn(made).plates.reduce((sum, plate) => sum + plate.passes, 0);
    expect(clearingIn(half).basis).toBe('given');
    expect(half.report.cautions.some(({ code }) => code === 'clearing-dose')).toBe(false);
    expect(passes(as)).toBeGreaterThan(0);
    expect(passes(half)).toBe(2 * passes(as));
    expect(clearingIn(half).plates.at(-1)!.reachedMm).toBe(clearingIn(as).plates.at(-1)!.reachedMm);
  });

  test('that one pass serves gets no clearing plate, and leaves no file of one', async () => {
    const picture = save(
      folder,
      'narrow.png',
      greyPng(320, 240, (x) => (x % 40 < 20 ? 0 : 255)),
    );
    const plain = await makePlate(folder, picture, { ...settings, widthMm: 40, dpi: 500 }, 'narrow');
    expect(plain.report.passes!.count).toBe(1);
    expect(plain.report.passes!.clearing!.plates).toEqual([]);
    expect(plain.report.files.map(({ name }) => name)).toEqual(['narrow.plate.png']);
    expect(() => PNG.sync.read(readFileSync(join(folder, 'narrow.clear1.plate.png')))).toThrow('ENOENT');
    const why = ({ report }: MadePlate) =>
      report.cautions.find(({ code }) => code === 'nothing-to-clear')?.text;
    expect(why(plain)).toMatch(/^No gap needs more depth than one pass gives/);
    const shallow = await makePlate(
      folder,
      picture,
      { ...settings, widthMm: 40, dpi: 500, passes: 1 },
      'shallow',
    );
    expect(why(shallow)).toMatch(/^The plate itself goes as deep as wanted \(0.5 mm\)/);
  });
});

test('is refused for intaglio, whose etched ground holds the ink, and for tones', () => {
  const problems = (values: object) =>
    resolveJob([{ origin: 'flag', name: '', values: { widthMm: 50, clearing: true, ...values } }]).problems;
  expect(problems({ process: 'intaglio' })).toMatchObject([{ code: 'clearing-holds-ink' }]);
  expect(problems({ process: 'relief', screen: 'none' })).toMatchObject([{ code: 'clearing-of-tone' }]);
  expect(problems({ process: 'relief' })).toEqual([]);
});
