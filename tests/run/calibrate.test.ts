import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { simulatedScan } from '../../examples/simulated-scan.mjs';
import { parseCurve } from '../../src/core/calibration/curve-file.ts';
import { type CalibrateRequest, calibrate, checkStrip } from '../../src/run/calibration/calibrate.ts';
import { openSession } from '../../src/run/session.ts';
import { gained, misses, type Printed } from '../calibration/proofs.ts';
import { smallPlate } from '../calibration/small-plate.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-calibrate-'));
const inFolder = (name: string) => join(folder, name);
const layout = smallPlate('intaglio');
const gain = gained(0.15);

async function writeScan(name: string, print: Printed): Promise<string> {
  const { codes, widthPx, heightPx } = simulatedScan(layout, { ppi: 300, marginMm: 10, gain, ...print });
  const raw = { width: widthPx, height: heightPx, channels: 1 } as const;
  await sharp(codes, { raw }).toColourspace('b-w').jpeg({ quality: 90 }).toFile(inFolder(name));
  return inFolder(name);
}

let session: Awaited<ReturnType<typeof openSession>>;
beforeAll(async () => {
  session = await openSession({
    owner: { hostId: 'test', pid: process.pid, isAlive: () => true },
    workers: 1,
    signal: new AbortController().signal,
    progress: () => undefined,
  });
  writeFileSync(inFolder('layout.json'), JSON.stringify(layout));
});
afterAll(async () => {
  await session.close();
  rmSync(folder, { recursive: true });
});

const asked = (name: string, scans: readonly string[]): CalibrateRequest => ({
  scans,
  layoutFile: inFolder('layout.json'),
  maxPixels: 1e8,
  name,
  folder: inFolder('out'),
  overwrite: false,
  rulerMm: null,
  wedgeFile: null,
  about: { target: 'lightness', measuredOn: '2031-05-03', machine: null, material: 'acr3', batch: null },
  into: null,
});

test('JPEG scans become a curve file, a sheet and an entry in the workshop file; the strip agrees', async () => {
  const scans = [
    await writeScan('1.jpg', { angleDeg: 3, rulerMm: 100, growthMm: 0.03 }),
    await writeScan('2.jpg', { angleDeg: 95, seed: 2, rulerMm: 100, growthMm: 0.03 }),
  ];
  const workshop = inFolder('workshop.json');
  writeFileSync(
    workshop,
    JSON.stringify({
      version: 1,
      name: 'W',
      machines: [{ id: 'm', spotMm: 0.2 }],
      materials: [
        { id: 'acr3', kind: 'acrylic', minWallMm: 9, batch: 'B' },
        { id: 'other', kind: 'acrylic' },
      ],
      presses: [],
    }),
  );
  const { curve, written } = await calibrate(
    { ...asked('acr', scans), into: workshop, rulerMm: 100 },
    session.context,
  );
  expect(misses(curve.knots, gain).worst).toBeLessThan(1);
  expect(curve.spot).not.toBeNull();
  expect(curve.stretch).not.toBeNull();
  const curveFile = join(inFolder('out'), 'acr.curve.json');
  expect(written).toEqual([curveFile, join(inFolder('out'), 'acr.curve.html'), workshop]);
  expect(parseCurve(JSON.parse(readFileSync(curveFile, 'utf8')))).toEqual(curve);
  expect(JSON.parse(readFileSync(workshop, 'utf8'))).toMatchObject({
    name: 'W',
    // what prints is the beam's mark and the spread of ink: the machine's spot is the beam's alone
    machines: [{ id: 'm', spotMm: 0.2 }],
    materials: [
      { id: 'acr3', kind: 'acrylic', batch: 'B', minWallMm: curve.limits.minWallMm!.mm },
      { id: 'other', kind: 'acrylic' },
    ],
    curves: [
      {
        id: 'acr',
        materialId: 'acr3',
        screen: 'grain',
        file: 'out/acr.curve.json',
        measuredOn: '2031-05-03',
      },
    ],
  });
  const sheet = readFileSync(join(inFolder('out'), 'acr.curve.html'), 'utf8');
  expect(sheet.match(/data:image\/jpeg;base64/g)).toHaveLength(2);
  expect(sheet).not.toContain(folder);

  const strip = {
    layoutFile: inFolder('layout.json'),
    wedgeFile: null as string | null,
    maxPixels: 1e8,
    curveFile,
  };
  expect((await checkStrip({ ...strip, scan: scans[0]! }, session.context)).drift.holds).toBe(true);
  const paler = await writeScan('3.jpg', { gain: (share) => 0.8 * gain(share) });
  expect((await checkStrip({ ...strip, scan: paler }, session.context)).drift.holds).toBe(false);
  const refused = (wrong: Partial<typeof strip & { scan: string }>): Promise<string> =>
    checkStrip({ ...strip, scan: paler, ...wrong }, session.context).then(
      () => 'read',
      ({ message }: Error) => message,
    );
  // each file is named, and once
  expect(await refused({ scan: inFolder('gone.png') })).toBe('Reading "gone.png": there is no such file.');
  const [layoutFile, wedgeFile] = [inFolder('layout.json'), inFolder('out/acr.curve.json')];
  expect(await refused({ curveFile: layoutFile })).toContain(`${layoutFile}: Reading a curve: `);
  expect(await refused({ layoutFile: curveFile })).toContain(
    `${curveFile}: Reading the layout of a test plate: `,
  );
  expect(await refused({ wedgeFile })).toContain(`${wedgeFile}: Reading a wedge: `);
});

test('one spoilt patch is averaged, and told; a machine or sheet that is not there is not entered', async () => {
  const spoilt = layout.patches.find(({ zone, share }) => zone === 'wedge' && share === 0.5)!;
  const patches = layout.patches.map((patch) => (patch === spoilt ? { ...patch, share: 0.65 } : patch));
  const { codes, widthPx, heightPx } = simulatedScan(
    { ...layout, patches },
    { ppi: 300, marginMm: 10, gain },
  );
  const raw = { width: widthPx, height: heightPx, channels: 1 } as const;
  await sharp(codes, { raw }).toColourspace('b-w').png().toFile(inFolder('spoilt.png'));
  const { curve } = await calibrate(asked('spoilt', [inFolder('spoilt.png')]), session.context);
  expect(curve.warnings).toEqual([
    {
      code: 'uneven-patches',
      text: expect.stringMatching(/^The two wedges of proof 1 differ on one step by up to 0\.\d+/),
    },
  ]);
  const before = readFileSync(inFolder('workshop.json'), 'utf8');
  const wish = asked('nobody', [inFolder('spoilt.png')]);
  const about = { ...wish.about, machine: 'x' };
  const into = inFolder('workshop.json');
  await expect(calibrate({ ...wish, about, into }, session.context)).rejects.toMatchObject({
    code: 'unknown-machine',
  });
  expect(readFileSync(into, 'utf8')).toBe(before);
  expect(readdirSync(inFolder('out')).filter((name) => name.includes('nobody'))).toEqual([]);
});

test('a refused scan is named, and nothing is written', async () => {
  const before = readdirSync(folder, { recursive: true }).length;
  const bad = await writeScan('bad.jpg', { autoContrast: true });
  await expect(calibrate(asked('bad', [bad]), session.context)).rejects.toMatchObject({
    kind: 'refused',
    code: 'scan-clipped',
    message: expect.stringContaining('bad.jpg'),
  });
  expect(readdirSync(folder, { recursive: true }).length).toBe(before + 1);
});

test('by a wedge in the scan, and its strip: the scanner’s own tone curve is none of the curve', async () => {
  const wedge = {
    schema: 'etchwright/wedge',
    version: 1,
    name: 'W-20',
    stepMm: 7,
    heightMm: 9,
    densities: Array.from({ length: 20 }, (_, i) => 0.05 + 0.1 * i),
  };
  writeFileSync(inFolder('wedge.json'), JSON.stringify(wedge));
  const wedgeFile = inFolder('wedge.json');
  const scannerCurve = (light: number) => light ** (1 / 1.6);
  const scan = await writeScan('wedged.jpg', { wedge, scannerCurve });
  const { curve } = await calibrate({ ...asked('wedged', [scan]), wedgeFile }, session.context);
  expect(misses(curve.knots, gain).worst).toBeLessThan(1);
  expect(curve.wedge).toEqual({ name: 'W-20', from: 0.05, to: expect.closeTo(1.95, 9) });
  const sheet = readFileSync(join(inFolder('out'), 'wedged.curve.html'), 'utf8');
  expect(sheet).toContain('density 0.05 to 1.95');

  const curveFile = join(inFolder('out'), 'wedged.curve.json');
  const strip = { layoutFile: inFolder('layout.json'), maxPixels: 1e8, curveFile, scan };
  expect(await checkStrip({ ...strip, wedgeFile }, session.context)).toMatchObject({
    drift: { holds: true, isLikeRead: true },
  });
  // as sRGB the same scan seems another print, and it is told that it was read otherwise
  expect(await checkStrip({ ...strip, wedgeFile: null }, session.context)).toMatchObject({
    drift: { holds: false, isLikeRead: false },
  });
});
