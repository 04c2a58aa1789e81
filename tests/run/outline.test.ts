import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readdirSync, readFileSync, readlinkSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import { afterAll, describe, expect, test } from 'vitest';
import { distanceToLoop, isInside, sampled } from '../core/outlines/shapes.ts';
import { makePlate } from './make.ts';
import { greyPng, save } from './pictures.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-outline-'));
afterAll(() => rmSync(folder, { recursive: true }));

const SIZE = 200;
/** A slanting thing without any symmetry. */
const FIGURE = [
  { x: 30, y: 25 },
  { x: 170, y: 60 },
  { x: 120, y: 110 },
  { x: 150, y: 175 },
  { x: 60, y: 150 },
];
const inFigure = (x: number, y: number): boolean => isInside(FIGURE, { x: x + 0.5, y: y + 0.5 });

function clearPng(): Buffer {
  const png = new PNG({ width: SIZE, height: SIZE });
  for (let y = 0; y < SIZE; y++)
    for (let x = 0; x < SIZE; x++) png.data[4 * (y * SIZE + x) + 3] = inFigure(x, y) ? 255 : 0;
  return PNG.sync.write(png);
}
const clear = save(folder, 'clear.png', clearPng());
const opaque = save(
  folder,
  'opaque.png',
  greyPng(SIZE, SIZE, (x, y) => (inFigure(x, y) ? 0 : 255)),
);
const small = save(
  folder,
  'small.png',
  greyPng(SIZE, SIZE / 2, () => 0),
);
const white = save(
  folder,
  'white.png',
  greyPng(SIZE, SIZE, () => 255),
);

/** 40 mm at 10 pixels to the millimetre. */
const plain = { process: 'relief', widthMm: 40, dpi: 254, screen: 'threshold', hold: false };
const shape = { ...plain, outline: 'shape', minRadiusMm: 0, minBridgeMm: 0, kerfMm: 0 };
let plates = 0;
const make = (settings: object, picture = clear, mask: string | null = null) =>
  makePlate(
    folder,
    picture,
    Object.fromEntries(Object.entries(settings).filter(([, value]) => value !== undefined)),
    `p${++plates}`,
    {},
    mask,
  );

/** Open files that have lost their names, as scratch files do at once; null where the system does not tell. */
function namelessFiles(): number | null {
  if (!existsSync('/proc/self/fd')) return null;
  const whereTo = (fd: string): string => {
    try {
      return readlinkSync(`/proc/self/fd/${fd}`);
    } catch {
      return '';
    }
  };
  return readdirSync('/proc/self/fd').filter((fd) => whereTo(fd).endsWith('(deleted)')).length;
}

/** The first line of an outline's SVG, as many points. */
function lineOf(name: string) {
  const svg = readFileSync(join(folder, `${name}.outline.svg`), 'utf8');
  const [, d] = /<path d="M([^"]+)Z"/.exec(svg)!;
  const [first, ...rest] = d!.split(/(?=[LC])/);
  const [x, y] = first!.split(' ').map(Number);
  const segments = rest.map((part) => {
    const numbers = part.slice(1).split(' ').map(Number);
    const [c1, c2, to] = [0, 2, 4].map((at) => ({ x: numbers[at]!, y: numbers[at + 1]! }));
    return numbers.length === 2 ? { to: c1! } : { c1: c1!, c2: c2!, to: to! };
  });
  return sampled({ start: { x: x!, y: y! }, segments, isHole: false }, 6);
}

describe.each([
  ['plate-reading', {}],
  ['print-reading', { facing: 'print' }],
  ['turned', { rotateDeg: 90 }],
  ['with a border, cropped', { borderMm: 3, fit: 'cover', heightMm: 30 }],
] as const)('a shape from transparency, %s', (_, settings) => {
  test('lies on the file just where its marks lie', async () => {
    const { report, plate } = await make({ ...shape, ...settings });
    const { originMm, pageMm } = report.outline!;
    const mm = 0.1;
    expect(pageMm.width).toBeCloseTo(plate.widthPx * mm + 2 * originMm.x, 6);
    expect(pageMm.height).toBeCloseTo(plate.heightPx * mm + 2 * originMm.y, 6);
    const line = lineOf(`p${plates}`).map(({ x, y }) => ({ x: x - originMm.x, y: y - originMm.y }));
    let [marks, wrong] = [0, 0];
    for (let y = 0; y < plate.heightPx; y += 5)
      for (let x = 0; x < plate.widthPx; x += 5) {
        const at = { x: (x + 0.5) * mm, y: (y + 0.5) * mm };
        // the picture has pixels of 0.2 mm without greys, the line a tolerance of as much
        if (distanceToLoop(at, line) < 0.3) continue;
        marks++;
        if ((plate.black[y * plate.widthPx + x] === 0) !== isInside(line, at)) wrong++;
      }
    expect(wrong).toBe(0);
    expect(marks).toBeGreaterThan(0.03 * plate.widthPx * plate.heightPx);
  });
});

test('a line to cut leaves the plate as it is; its files are listed, with their hashes', async () => {
  const without = await make(plain);
  const { report } = await make({ ...shape, kerfMm: 0.3, outlineColour: 'navy' });
  expect(report.bitsSha256).toBe(without.report.bitsSha256);
  expect(without.report.outline).toBeNull();
  const files = report.files.filter(({ role }) => role === 'outline');
  expect(files.map(({ name }) => name)).toEqual([`p${plates}.outline.svg`, `p${plates}.outline.pdf`]);
  for (const { name, sha256, bytes } of files) {
    const stored = readFileSync(join(folder, name));
    expect(stored.length).toBe(bytes);
    expect(createHash('sha256').update(stored).digest('hex')).toBe(sha256);
  }
  expect(report.outline).toMatchObject({ kind: 'shape', as: 'cut', kerfMm: 0.3, pieces: 1, holes: 0 });
  expect(readFileSync(join(folder, files[0]!.name), 'utf8')).toContain('stroke="#000080"');
  const codes = report.cautions.map(({ code }) => code);
  expect(codes).toContain('outline-ask');
  expect(codes).not.toContain('outline-kerf');
});

describe('a sheet that is not cut through', () => {
  const lino = { ...shape, outlineRimMm: 2, material: 'lino', materialConfirmed: 'A. Person, today' };

  test('gets a guide in its waste: kept on a block, print-reading or not, and the same from its report', async () => {
    const { report, plate } = await make(lino);
    const bare = await make({
      ...lino,
      outline: undefined,
      outlineRimMm: undefined,
      minRadiusMm: undefined,
      minBridgeMm: undefined,
    });
    expect(report.outline).toMatchObject({ as: 'guide', kerfMm: 0 });
    const guide: number[] = [];
    for (let i = 0; i < plate.black.length; i++) {
      if (plate.black[i] === bare.plate.black[i]) continue;
      expect(plate.black[i]).toBe(0);
      guide.push(i);
    }
    const { originMm, lengthMm } = report.outline!;
    // as wide as the smallest land of lino (0.6 mm) and a pixel
    expect(guide.length * 0.01).toBeGreaterThan(0.6 * lengthMm);
    expect(guide.length * 0.01).toBeLessThan(0.75 * lengthMm);
    const line = lineOf(`p${plates - 1}`).map(({ x, y }) => ({ x: x - originMm.x, y: y - originMm.y }));
    let [furthest, inside] = [0, 0];
    for (const i of guide.filter((_, k) => k % 5 === 0)) {
      const at = { x: ((i % plate.widthPx) + 0.5) * 0.1, y: (Math.floor(i / plate.widthPx) + 0.5) * 0.1 };
      const off = distanceToLoop(at, line);
      furthest = Math.max(furthest, off);
      if (off > 0.2 && isInside(line, at)) inside++;
    }
    // half a pixel, and the tolerance of the line, are the most that the middle of a pixel is off
    expect(furthest).toBeLessThan(0.7 + 0.05 + 0.2);
    expect(inside).toBe(0);
    const again = await make({ ...report.job, hold: false });
    expect(again.report.bitsSha256).toBe(report.bitsSha256);
    const svg = readFileSync(join(folder, `p${plates}.outline.svg`), 'utf8');
    expect(svg).toContain('not a line for the laser');
  });

  test('gets a template, dashed, if it is metal; asking for a cut changes nothing', async () => {
    const { report } = await make({
      process: 'intaglio',
      widthMm: 40,
      dpi: 254,
      outline: 'ellipse',
      outlineAs: 'cut',
      material: 'zinc',
      materialConfirmed: 'A. Person, today',
    });
    expect(report.outline).toMatchObject({ as: 'template', kerfMm: 0 });
    const svg = readFileSync(join(folder, `p${plates}.outline.svg`), 'utf8');
    expect(svg).toContain('stroke-dasharray="3 1.5"');
    expect(svg).toContain('positioning template, not for cutting');
    const told = JSON.stringify(report.cautions);
    expect(told).toContain('outline-template');
    expect(told).not.toMatch(/allowed|may be cut|can be cut/i);
  });
});

describe('cautions', () => {
  const codesOf = async (settings: object, picture?: string, mask?: string) =>
    (await make({ ...shape, ...settings }, picture, mask)).report.cautions.map(({ code }) => code);

  test('of a piece that leaves the plate, and of marks too near to its edge', async () => {
    const codes = await codesOf({ outlineRimMm: 9 });
    expect(codes).toContain('outline-leaves-plate');
    expect(codes).not.toContain('outline-near-marks');
    const near = await codesOf({ outlineRimMm: 0.5 });
    expect(near).toContain('outline-near-marks');
    expect(near).not.toContain('outline-leaves-plate');
  });

  test('of a kerf nobody has measured, and of a coarse picture', async () => {
    const codes = await codesOf({ kerfMm: undefined });
    expect(codes).toContain('outline-kerf');
    expect(codes).toContain('outline-coarse');
  });
});

describe('a mask', () => {
  test('gives the shape where it is dark, as transparency does where it is opaque', async () => {
    const one = await make(shape);
    const other = await make(shape, opaque, opaque);
    expect(other.report.outline!.areaMm2).toBeCloseTo(one.report.outline!.areaMm2, 3);
    expect(other.report.outline!.maskSha256).toBe(
      createHash('sha256').update(readFileSync(opaque)).digest('hex'),
    );
  });

  test.each([
    ['no-shape', opaque, null],
    ['mask-of-another-shape', opaque, small],
    ['empty-shape', opaque, white],
  ] as const)(
    'is refused with %s; nothing is written, and no picture stays open',
    async (code, picture, mask) => {
      const before = namelessFiles();
      await expect(make(shape, picture, mask)).rejects.toMatchObject({ code, kind: 'usage' });
      expect(namelessFiles()).toBe(before);
      expect(() => readFileSync(join(folder, `p${plates}.outline.svg`))).toThrow();
    },
  );
});

test.each([
  [{ outlineRimMm: 2 }, /--outline-rim is given, and no --outline/],
  [{ outline: 'ellipse', outlineRadiusMm: 2 }, /belongs to the outline rounded, but the outline is ellipse/],
])('settings that have no outline to belong to are refused: %j', async (settings, message) => {
  await expect(make({ ...plain, ...settings })).rejects.toThrow(message);
});

test('an outline that does not fit is refused with what does not', async () => {
  await expect(make({ ...plain, outline: 'rounded', outlineRadiusMm: 30 })).rejects.toMatchObject({
    code: 'outline-does-not-fit',
    message: expect.stringContaining('30 mm do not fit 40 × 40 mm'),
  });
});
