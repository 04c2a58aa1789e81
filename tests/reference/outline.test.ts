/** Outlines as other programs see them: librsvg (by sharp) for SVG; Poppler and Ghostscript for PDF. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { afterAll, describe, expect, test } from 'vitest';
import type { OutlinePath } from '../../src/core/outlines/contract.ts';
import { movedPaths, outlinePaths } from '../../src/core/outlines/paths.ts';
import { straightened } from '../../src/core/outlines/straighten.ts';
import { trace } from '../../src/core/outlines/trace.ts';
import { writeOutlinePdf } from '../../src/io/outlines/pdf.ts';
import { writeOutlineSvg } from '../../src/io/outlines/svg.ts';
import { drawn, isInside, star, starAreaMm2 } from '../core/outlines/shapes.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-outline-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** What a program says, on both of its outputs. */
const run = (command: string, args: readonly string[]): string =>
  execFileSync('bash', ['-c', '"$0" "$@" 2>&1', command, ...args]).toString();

const PX_PER_MM = 20;
const STROKE_MM = 0.1;
const MARGIN_MM = 1;

interface Ink {
  readonly widthPx: number;
  readonly heightPx: number;
  /** 0…1, row by row. */
  readonly dark: Float64Array;
}

const inkOf = async (picture: Sharp): Promise<Ink> => {
  const { data, info } = await picture
    .flatten({ background: '#fff' })
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  return {
    widthPx: info.width,
    heightPx: info.height,
    dark: Float64Array.from(data as Uint8Array, (grey) => 1 - grey / 255),
  };
};

/** Areas in mm² that white joins, without the line: the outside first, then all others together; holes are told by a point in them. */
function areas({ widthPx, heightPx, dark }: Ink): { outside: number; insides: number[] } {
  const of = new Int32Array(dark.length).fill(-1);
  const sums: number[] = [];
  for (let start = 0; start < dark.length; start++) {
    if (of[start] !== -1 || dark[start]! > 0.5) continue;
    const stack = [start];
    of[start] = sums.length;
    let sum = 0;
    while (stack.length > 0) {
      const at = stack.pop()!;
      sum++;
      const x = at % widthPx;
      for (const [next, is] of [
        [at - 1, x > 0],
        [at + 1, x < widthPx - 1],
        [at - widthPx, at >= widthPx],
        [at + widthPx, at < widthPx * (heightPx - 1)],
      ] as const)
        if (is && of[next] === -1 && dark[next]! <= 0.5) {
          of[next] = sums.length;
          stack.push(next);
        }
    }
    sums.push(sum / PX_PER_MM ** 2);
  }
  // the corner of the page is outside, and is met first
  const [outside, ...insides] = sums;
  return { outside: outside!, insides: insides.filter((area) => area > 0.5) };
}

/** First and last dark pixel both ways, in mm, the middle of the line, by how dark the outermost rows are. */
function middleBox({ widthPx, heightPx, dark }: Ink) {
  let [left, right, top, bottom] = [widthPx, 0, heightPx, 0];
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++)
      if (dark[y * widthPx + x]! > 0.5) {
        [left, right] = [Math.min(left, x), Math.max(right, x + 1)];
        [top, bottom] = [Math.min(top, y), Math.max(bottom, y + 1)];
      }
  const half = STROKE_MM / 2;
  return {
    left: left / PX_PER_MM + half - MARGIN_MM,
    top: top / PX_PER_MM + half - MARGIN_MM,
    right: right / PX_PER_MM - half - MARGIN_MM,
    bottom: bottom / PX_PER_MM - half - MARGIN_MM,
  };
}

async function files(name: string, paths: readonly OutlinePath[], widthMm: number, heightMm: number) {
  const page = {
    widthMm: widthMm + 2 * MARGIN_MM,
    heightMm: heightMm + 2 * MARGIN_MM,
    colour: '000000',
    title: name,
    lines: [{ paths: movedPaths(paths, MARGIN_MM, MARGIN_MM) }],
  };
  const pdf = join(folder, `${name}.pdf`);
  writeFileSync(pdf, Buffer.concat(await writeOutlinePdf(page)));
  return { svg: writeOutlineSvg(page), pdf, page };
}

/** The same drawing in pixels of a known size: librsvg by way of libvips scales lengths in mm in its own way. */
async function seenSvg(svg: Uint8Array, page: { widthMm: number; heightMm: number }): Promise<Ink> {
  const text = new TextDecoder().decode(svg);
  const sized = text.replace(
    `width="${page.widthMm}mm" height="${page.heightMm}mm"`,
    `width="${page.widthMm * PX_PER_MM}" height="${page.heightMm * PX_PER_MM}"`,
  );
  expect(sized).not.toBe(text);
  return inkOf(sharp(Buffer.from(sized)));
}

async function seenPdf(pdf: string): Promise<Ink> {
  const png = pdf.replace(/\.pdf$/, '');
  run('pdftoppm', ['-r', String(PX_PER_MM * 25.4), '-png', '-singlefile', pdf, png]);
  return inkOf(sharp(`${png}.png`));
}

const wish = { kerfMm: 0.2, toleranceMm: 0.05, traced: null };

async function bothSeen(name: string, paths: readonly OutlinePath[], widthMm: number, heightMm: number) {
  const { svg, pdf, page } = await files(name, paths, widthMm, heightMm);
  return { svg: await seenSvg(svg, page), pdf: await seenPdf(pdf), page, file: pdf };
}

/** Area to the middle of the line: half-way between what lies inside it and what does not lie outside it. */
const toMiddle = (inside: number, notOutside: number): number => (inside + notOutside) / 2;

describe('an ellipse of 60 × 40 mm, cut with a kerf of 0.2 mm', async () => {
  const { paths } = outlinePaths(
    'ellipse',
    { outlineInsetMm: 0 },
    { xMm: 0, yMm: 0, widthMm: 60, heightMm: 40 },
    wish,
  );
  const { svg, pdf, page } = await bothSeen('ellipse', paths, 60, 40);
  // Steiner's formula with S. Ramanujan's length (1914)
  const h = (10 / 50) ** 2;
  const lengthMm = Math.PI * 50 * (1 + (3 * h) / (10 + Math.sqrt(4 - 3 * h)));
  const truth = Math.PI * 30 * 20 + lengthMm * 0.1 + Math.PI * 0.01;

  test.each([
    ['SVG', svg],
    ['PDF', pdf],
  ])('%s has its area within half a per cent, and its box', (_, ink) => {
    const { outside, insides } = areas(ink);
    expect(insides.length).toBe(1);
    const area = toMiddle(insides[0]!, page.widthMm * page.heightMm - outside);
    expect(Math.abs(area / truth - 1)).toBeLessThan(0.005);
    const box = middleBox(ink);
    for (const [seen, is] of [
      [box.left, -0.1],
      [box.top, -0.1],
      [box.right, 60.1],
      [box.bottom, 40.1],
    ] as const)
      expect(Math.abs(seen - is)).toBeLessThan(wish.toleranceMm + 1 / PX_PER_MM);
  });
});

describe('a star with a hole, traced and cut', async () => {
  const truth = star(5, 22, 10, 24, 24);
  const grid = drawn(480, 480, 0.1, 4, (at) => isInside(truth, at) && Math.hypot(at.x - 24, at.y - 24) >= 4);
  const within = { xMm: 0, yMm: 0, widthMm: 48, heightMm: 48 };
  const loops = trace(grid).map((loop) =>
    straightened(
      loop.map(({ x, y }) => ({ x: x * 0.1, y: y * 0.1 })),
      0.1,
    ),
  );
  const { paths } = outlinePaths('shape', { outlineRimMm: 0, minRadiusMm: 0, minBridgeMm: 2 }, within, {
    kerfMm: 0,
    toleranceMm: 0.1,
    traced: { loops, stepMm: 0.1, within },
  });
  const { svg, pdf, page } = await bothSeen('star', paths, 48, 48);
  const area = starAreaMm2(5, 22, 10) - Math.PI * 16;

  test.each([
    ['SVG', svg],
    ['PDF', pdf],
  ])('%s has its area within half a per cent, and a hole of the right size', (_, ink) => {
    const { outside, insides } = areas(ink);
    expect(insides.length).toBe(2);
    const [body, hole] = [...insides].sort((a, b) => b - a) as [number, number];
    const notOutside = page.widthMm * page.heightMm - outside;
    // the hole's own line lies half inside it
    const holeToMiddle = hole + 2 * Math.PI * 4 * (STROKE_MM / 2);
    expect(Math.abs(holeToMiddle / (Math.PI * 16) - 1)).toBeLessThan(0.02);
    const inside = body + 2 * Math.PI * 4 * (STROKE_MM / 2);
    const seen = toMiddle(inside, notOutside - holeToMiddle);
    expect(Math.abs(seen / area - 1)).toBeLessThan(0.005);
  });

  test.each([
    ['SVG', svg],
    ['PDF', pdf],
  ])('%s has ink along the true line, and nowhere else', (_, { widthPx, heightPx, dark }) => {
    let furthest = 0;
    for (let y = 0; y < heightPx; y += 3)
      for (let x = 0; x < widthPx; x++) {
        if (dark[y * widthPx + x]! <= 0.5) continue;
        const at = { x: (x + 0.5) / PX_PER_MM - MARGIN_MM, y: (y + 0.5) / PX_PER_MM - MARGIN_MM };
        let off = Math.abs(Math.hypot(at.x - 24, at.y - 24) - 4);
        for (const [i, a] of truth.entries()) {
          const b = truth[(i + 1) % truth.length]!;
          const [dx, dy] = [b.x - a.x, b.y - a.y];
          const t = Math.min(1, Math.max(0, ((at.x - a.x) * dx + (at.y - a.y) * dy) / (dx * dx + dy * dy)));
          off = Math.min(off, Math.hypot(at.x - a.x - t * dx, at.y - a.y - t * dy));
        }
        furthest = Math.max(furthest, off);
      }
    expect(furthest).toBeLessThan(0.1 + STROKE_MM / 2 + 0.5 / PX_PER_MM);
    for (const corner of truth) {
      const [x, y] = [corner.x + MARGIN_MM, corner.y + MARGIN_MM].map((mm) => Math.floor(mm * PX_PER_MM));
      const around = [-2, -1, 0, 1, 2].flatMap((j) =>
        [-2, -1, 0, 1, 2].map((i) => dark[(y! + j) * widthPx + x! + i]!),
      );
      expect(Math.max(...around)).toBeGreaterThan(0.5);
    }
  });
});

describe('a rectangle of 50 × 30 mm', async () => {
  const { paths } = outlinePaths(
    'rectangle',
    { outlineInsetMm: 0 },
    { xMm: 0, yMm: 0, widthMm: 50, heightMm: 30 },
    wish,
  );
  const { pdf, page } = await files('rectangle', paths, 50, 30);
  test('is half a kerf larger on every side, by Ghostscript to a pixel at 4,000 to the inch', () => {
    const told = run('gs', ['-q', '-dBATCH', '-dNOPAUSE', '-sDEVICE=bbox', pdf]);
    const [, ...points] = /%%HiResBoundingBox: ([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+)/.exec(told)!;
    const half = STROKE_MM / 2;
    const mm = [-0.1 - half, -0.1 - half, 50.1 + half, 30.1 + half].map((side) => side + MARGIN_MM);
    for (const [i, point] of points.entries())
      expect(Math.abs(Number(point) - (mm[i]! * 72) / 25.4)).toBeLessThan(0.02);
  });

  test('lies on a page of its size, by Poppler', () => {
    const [, width, height] = /Page size: +([\d.]+) x ([\d.]+) pts/.exec(run('pdfinfo', [pdf]))!;
    expect(Number(width)).toBeCloseTo((page.widthMm * 72) / 25.4, 1);
    expect(Number(height)).toBeCloseTo((page.heightMm * 72) / 25.4, 1);
    expect(run('pdffonts', [pdf]).trim().split('\n').length).toBe(2);
  });
});
