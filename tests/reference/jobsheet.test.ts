/** The job sheet as a browser prints it, on both papers of the world. */

import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Element, named, parseStrictly, textOf } from '../report/jobsheet/strict.ts';
import { makeReports, NAMES, PAGES } from './sheet-pages.ts';

/** ISO 216 and ANSI/ASME Y14.1, in mm. */
const PAPERS = { A4: [210, 297], letter: [215.9, 279.4] } as const;
const PT_PER_MM = 72 / 25.4;
const MARGIN_MM = 12;
/** Rendered at one pixel to half a millimetre. */
const PX_PER_MM = 2;

const folder = mkdtempSync(join(tmpdir(), 'etchwright-print-'));
afterAll(() => rmSync(folder, { recursive: true }));

const run = (command: string, ...args: string[]): Buffer =>
  execFileSync(command, args, { maxBuffer: 1 << 28, stdio: ['ignore', 'pipe', 'pipe'] });

const browse = (...args: string[]): Buffer =>
  run(
    'chromium',
    '--headless',
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    `--user-data-dir=${mkdtempSync(join(folder, 'browser-'))}`,
    ...args,
  );

function saved(name: string, page: string): string {
  const path = join(folder, `${name}.html`);
  writeFileSync(path, page);
  return path;
}

/** The sheet says nothing of paper, so that the printer's counts; here it is said for it. */
function printed(name: string, page: string, paper: keyof typeof PAPERS): string {
  const path = saved(name, page.replace('</head>', `<style>@page { size: ${paper} }</style></head>`));
  browse('--no-pdf-header-footer', `--print-to-pdf=${path}.pdf`, path);
  return `${path}.pdf`;
}

interface Word {
  readonly text: string;
  readonly page: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Words with their boxes in mm. */
function wordsOf(pdf: string): Word[] {
  const pages = run('pdftotext', '-bbox', pdf, '-').toString().split('<page ').slice(1);
  return pages.flatMap((text, page) =>
    [
      ...text.matchAll(
        /<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)<\/word>/g,
      ),
    ].map(([, left, top, right, bottom, word]) => {
      const mm = (pt: string | undefined): number => Number(pt) / PT_PER_MM;
      return { text: word!, page, left: mm(left), top: mm(top), right: mm(right), bottom: mm(bottom) };
    }),
  );
}

/** Sizes of all pages in mm. */
function sizesOf(pdf: string): (readonly [number, number])[] {
  const told = run('pdfinfo', '-l', '99', pdf).toString();
  return [...told.matchAll(/^Page +\d+ size: +([\d.]+) x ([\d.]+) pts/gm)].map(
    ([, width, height]) => [Number(width) / PT_PER_MM, Number(height) / PT_PER_MM] as const,
  );
}

/** Dark pixels in the margins of a page, which hold nothing unless something stands out of its place. */
function darkInMargins(pdf: string, page: number): number {
  const n = String(page + 1);
  const pgm = join(folder, 'page');
  run('pdftoppm', '-gray', '-r', String(25.4 * PX_PER_MM), '-f', n, '-l', n, '-singlefile', pdf, pgm);
  const bytes = readFileSync(`${pgm}.pgm`);
  const [header, width, height] = /^P5\s(\d+) (\d+)\s255\s/.exec(bytes.toString('latin1', 0, 50))!;
  const [w, h] = [Number(width), Number(height)];
  // half a millimetre for what rounds into the margin
  const edge = (MARGIN_MM - 0.5) * PX_PER_MM;
  let dark = 0;
  for (let y = 0; y < h; y++)
    for (let x = 0; x < w; x++) {
      const inside = x >= edge && x < w - edge && y >= edge && y < h - edge;
      if (!inside && bytes[header!.length + y * w + x]! < 250) dark++;
    }
  return dark;
}

const squeezed = (text: string): string => text.replace(/\s+/g, '').toLowerCase();

/** Every run of text that a reader should see. */
const runsOf = (element: Element): string[] =>
  element.children.flatMap((child) => {
    if (typeof child === 'string') return squeezed(child) === '' ? [] : [squeezed(child)];
    // a drawing's title and description are told, not shown
    return ['title', 'desc'].includes(child.name) ? [] : runsOf(child);
  });

let reports: Awaited<ReturnType<typeof makeReports>>;
beforeAll(async () => {
  reports = await makeReports();
});

const MOST_PAGES: Readonly<Record<keyof typeof PAGES, number>> = {
  relief: 2,
  intaglio: 2,
  tonal: 2,
  bare: 2,
  hostile: 9,
};

const cases = NAMES.flatMap((name) =>
  (Object.keys(PAPERS) as (keyof typeof PAPERS)[]).map((paper) => [name, paper] as const),
);

describe.each(cases)('the %s sheet on %s', (name, paper) => {
  let pdf = '';
  let page = '';
  beforeAll(() => {
    page = PAGES[name](reports);
    pdf = printed(`${name}-${paper}`, page, paper);
  });

  test('takes few pages, all of that size', () => {
    const sizes = sizesOf(pdf);
    expect(sizes.length).toBeGreaterThan(1);
    expect(sizes.length).toBeLessThanOrEqual(MOST_PAGES[name]);
    for (const size of sizes)
      for (const [i, mm] of size.entries()) expect(Math.abs(mm - PAPERS[paper][i]!)).toBeLessThan(0.3);
  });

  test('leaves its margins bare', () => {
    const [widthMm, heightMm] = PAPERS[paper];
    for (const { text, left, right, top, bottom } of wordsOf(pdf)) {
      expect(left, text).toBeGreaterThan(MARGIN_MM - 0.5);
      expect(right, text).toBeLessThan(widthMm - MARGIN_MM + 0.5);
      // boxes of words are as high as the font, and lines on narrow leading stand out of theirs
      expect(top, text).toBeGreaterThan(MARGIN_MM - 2);
      expect(bottom, text).toBeLessThan(heightMm - MARGIN_MM + 2);
    }
    for (let i = 0; i < sizesOf(pdf).length; i++) expect(darkInMargins(pdf, i)).toBe(0);
  });

  test('shows all of its text', () => {
    const seen = squeezed(run('pdftotext', '-raw', pdf, '-').toString());
    const runs = runsOf(named(parseStrictly(page), 'body')[0]!);
    expect(runs.length).toBeGreaterThan(100);
    for (const text of runs) expect(seen).toContain(text);
  });

  test('is printed in its true size', () => {
    const words = wordsOf(pdf);
    const middle = ({ left, right }: Word): number => (left + right) / 2;
    const tens = words.filter(({ text }) => text === '10');
    // the numbers of the rule stand in one line
    const pairs = words
      .filter(({ text }) => text === '90')
      .flatMap((ninety) =>
        tens
          .filter(({ page: on, top }) => on === ninety.page && Math.abs(top - ninety.top) < 0.1)
          .map((ten) => middle(ninety) - middle(ten)),
      );
    expect(pairs).toHaveLength(1);
    expect(Math.abs(pairs[0]! - 80)).toBeLessThan(0.2);
  });
});

const EMPTY = ['meta', 'img'];
const tagsOf = ({ name, children }: Element): string[] => [
  `<${name}>`,
  ...children.flatMap((child) => (typeof child === 'string' ? [] : tagsOf(child))),
  ...(EMPTY.includes(name) ? [] : [`</${name}>`]),
];

test.each(['intaglio', 'hostile'] as const)(
  'a browser reads the %s sheet as the tree it was written as',
  (name) => {
    const page = PAGES[name](reports);
    const read = browse('--dump-dom', saved(`${name}-tree`, page)).toString();
    const tags = [...read.matchAll(/<(\/?)([a-zA-Z][a-zA-Z0-9]*)(?: [^\s=<>"]+="[^"]*")*>/g)];
    const root = parseStrictly(page);
    expect(tags.map(([, closes, tag]) => `<${closes}${tag}>`)).toEqual(tagsOf(named(root, 'html')[0]!));
    expect(textOf(root)).toContain(name === 'hostile' ? '"><script>alert(1)</script>' : 'ferry.sound');
  },
);
