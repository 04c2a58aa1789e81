/**
 * The job sheet as a browser lays it out: on a screen and on a phone. A copy of each sheet looks at itself: it carries
 * a script that measures and a policy that tells of everything a page might ask for or run.
 */

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { jobSheet } from '../../src/report/jobsheet/jobsheet.ts';
import type { Report } from '../../src/report/schema.ts';
import {
  allPictures,
  full,
  HOSTILE,
  hostile,
  noPictures,
  plain,
  realReport,
} from '../report/jobsheet/sheets.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-browser-'));
afterAll(() => rmSync(folder, { recursive: true }));

const reports = {} as { relief: Report; intaglio: Report; tonal: Report };
beforeAll(async () => {
  reports.relief = await realReport('relief');
  reports.intaglio = await realReport('intaglio');
  reports.tonal = await realReport('relief', true);
});

const PAGES = {
  relief: () => jobSheet(reports.relief, allPictures(120, 80), full),
  intaglio: () => jobSheet(reports.intaglio, allPictures(200, 300), full),
  tonal: () => jobSheet(reports.tonal, allPictures(180, 120), full),
  bare: () => jobSheet(reports.relief, noPictures, plain),
  hostile: () =>
    jobSheet(hostile(reports.relief), allPictures(300, 40), { ...full, name: HOSTILE, id: HOSTILE }),
} as const;
const NAMES = Object.keys(PAGES) as (keyof typeof PAGES)[];
/** Pixels of CSS, a 96th of an inch; the narrow one is a small phone. */
const WIDTHS = { screen: 1000, phone: 360 } as const;

/** What is less than this far from its ground cannot be read by many (WCAG 2.2, 1.4.3). */
const LEAST_CONTRAST = 4.5;

/** What a sheet tells of itself. */
interface Seen {
  readonly texts: { text: string; contrast: number }[];
  readonly images: number[];
  readonly names: string[];
  readonly nameless: number;
  readonly handlers: string[];
  readonly scripts: number;
  readonly words: string;
  readonly heads: readonly [headings: number, language: string, title: string];
  readonly wide: readonly [scrolled: number, seen: number];
  readonly out: string[];
  readonly faults: string[];
}

/** Every text that is seen with its contrast, from rendered styles (relative luminance: WCAG 2.2, glossary). */
function contrasts(): Seen['texts'] {
  type Rgba = readonly [number, number, number, number];
  const parsed = (colour: string): Rgba => {
    const [r, g, b, a] = (colour.match(/[\d.]+/g) ?? []).map(Number);
    return [r ?? 0, g ?? 0, b ?? 0, colour === 'none' || colour === '' ? 0 : (a ?? 1)];
  };
  const over = ([r, g, b, a]: Rgba, under: Rgba): Rgba => [
    r * a + under[0] * (1 - a),
    g * a + under[1] * (1 - a),
    b * a + under[2] * (1 - a),
    1,
  ];
  const light = (code: number): number =>
    code / 255 <= 0.04045 ? code / 255 / 12.92 : ((code / 255 + 0.055) / 1.055) ** 2.4;
  const luminance = ([r, g, b]: Rgba): number => 0.2126 * light(r) + 0.7152 * light(g) + 0.0722 * light(b);
  const ground = (element: Element | null): Rgba =>
    element === null
      ? [255, 255, 255, 1]
      : over(parsed(getComputedStyle(element).backgroundColor), ground(element.parentElement));
  const found: { text: string; contrast: number }[] = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const element = node.parentElement!;
    const text = node.textContent!.trim();
    if (text === '' || element.closest('title, desc') || !element.checkVisibility()) continue;
    const style = getComputedStyle(element);
    const behind = ground(element);
    const drawn = element instanceof SVGElement ? style.fill : style.color;
    const front = luminance(over(parsed(drawn), behind));
    const back = luminance(behind);
    const contrast = (Math.max(front, back) + 0.05) / (Math.min(front, back) + 0.05);
    found.push({ text, contrast });
  }
  return found;
}

/** Looks at the page it runs in, once it is loaded, and leaves what it saw at its end. */
function look(textsOf: typeof contrasts): void {
  const faults: string[] = [];
  const log = (...told: unknown[]): void => void faults.push(told.join(' '));
  console.error = log;
  console.warn = log;
  window.alert = log;
  document.addEventListener('securitypolicyviolation', (event) =>
    log(event.violatedDirective, event.blockedURI),
  );
  window.addEventListener('error', (event) => log('error', event.message ?? 'not loaded'), true);
  window.addEventListener('load', () => {
    const all = [...document.body.querySelectorAll('*')];
    const nameOf = (element: Element): string =>
      element.getAttribute('alt') ??
      element.getAttribute('aria-label') ??
      (element.getAttribute('aria-labelledby') ?? '')
        .split(' ')
        .map((id) => document.getElementById(id)?.textContent ?? '')
        .join(' ');
    const seen: Seen = {
      texts: textsOf(),
      images: [...document.images].map((image) => image.naturalWidth),
      names: [...document.querySelectorAll('img, svg[role="img"]')].map(nameOf),
      nameless: document.querySelectorAll('svg:not([role="img"]):not([aria-hidden="true"])').length,
      handlers: all.flatMap((element) => element.getAttributeNames().filter((name) => name.startsWith('on'))),
      scripts: document.scripts.length - 1,
      words: document.body.textContent ?? '',
      heads: [document.querySelectorAll('h1').length, document.documentElement.lang, document.title],
      wide: [document.documentElement.scrollWidth, document.documentElement.clientWidth],
      out: all
        .filter((element) => element.getBoundingClientRect().right > window.innerWidth + 0.5)
        .map((element) => element.outerHTML.slice(0, 120)),
      faults,
    };
    const bytes = new TextEncoder().encode(JSON.stringify(seen));
    const told = window.parent.document.createElement('pre');
    told.textContent = btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''));
    window.parent.document.body.append(told);
  });
}

const POLICY = `default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'nonce-look'`;
const quoted = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('"', '&quot;');

/** The sheet in a frame as wide as asked for, as it tells of itself. */
function seenAt(page: string, name: string, widthPx: number): Seen {
  const script = `<script nonce="look">(${look})(${contrasts})</script>`;
  const policy = `<meta http-equiv="Content-Security-Policy" content="${quoted(POLICY)}">`;
  const copy = page.replace('<head>', () => `<head>${policy}${script}`);
  expect(copy.length).toBeGreaterThan(page.length);
  const path = join(folder, `${name}-${widthPx}.html`);
  writeFileSync(
    path,
    `<!doctype html><meta charset="utf-8"><iframe width="${widthPx}" height="1400" srcdoc="${quoted(copy)}"></iframe>`,
  );
  const read = execFileSync(
    'chromium',
    [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      `--user-data-dir=${mkdtempSync(join(folder, 'browser-'))}`,
      '--dump-dom',
      path,
    ],
    { maxBuffer: 1 << 28, stdio: ['ignore', 'pipe', 'pipe'] },
  ).toString();
  const told = /<pre>([^<]+)<\/pre>/.exec(read)![1]!;
  return JSON.parse(Buffer.from(told, 'base64').toString()) as Seen;
}

describe.each(NAMES)('the %s sheet', (name) => {
  const seen = {} as Record<keyof typeof WIDTHS, Seen>;
  beforeAll(() => {
    const page = PAGES[name]();
    for (const at of ['screen', 'phone'] as const) seen[at] = seenAt(page, name, WIDTHS[at]);
  });

  test('raises no fault, asks for nothing and runs nothing', () => {
    expect(seen.screen.faults).toEqual([]);
    expect(seen.screen.scripts).toBe(0);
    expect(seen.screen.handlers).toEqual([]);
  });

  test('shows its pictures whole', () => {
    expect(seen.screen.images).toHaveLength(name === 'bare' ? 0 : 4);
    for (const widthPx of seen.screen.images) expect(widthPx).toBeGreaterThan(0);
  });

  test('has text that stands out from its ground', () => {
    expect(seen.screen.texts.length).toBeGreaterThan(60);
    for (const { text, contrast } of seen.screen.texts)
      expect(contrast, text).toBeGreaterThanOrEqual(LEAST_CONTRAST);
  });

  test('names every picture and drawing to those who do not see it', () => {
    expect(seen.screen.names.length).toBeGreaterThan(0);
    for (const called of seen.screen.names) expect(called.trim().length).toBeGreaterThan(3);
    // a drawing without a role is decoration and says so
    expect(seen.screen.nameless).toBe(0);
  });

  test('has one first heading, a language and a title', () => {
    const [headings, language, title] = seen.screen.heads;
    expect([headings, language]).toEqual([1, 'en']);
    expect(title.trim().length).toBeGreaterThan(3);
  });

  test('is read on a phone without scrolling sideways', () => {
    const [scrolled, width] = seen.phone.wide;
    expect(scrolled).toBe(width);
    expect(seen.phone.out).toEqual([]);
    expect(seen.phone.texts.length).toBe(seen.screen.texts.length);
  });

  test.runIf(name === 'hostile')('keeps a hostile name as text', () => {
    expect(seen.screen.words).toContain('"><script>alert(1)</script>');
  });
});

// so that the checks above can fail
test('a sheet that asks, runs or fades is told', () => {
  const page = PAGES.bare().replace(
    '<h1',
    '<p style="color: #999">faded</p><img alt="x" src="https://example.invalid/x.png"><b onclick="x()">run</b><h1',
  );
  const seen = seenAt(page, 'spoilt', WIDTHS.screen);
  expect(seen.faults.join()).toContain('img-src https://example.invalid');
  expect(seen.faults.join()).toContain('script-src');
  expect(seen.texts.find(({ text }) => text === 'faded')!.contrast).toBeLessThan(LEAST_CONTRAST);
});
