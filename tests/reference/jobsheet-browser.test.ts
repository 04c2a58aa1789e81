/**
 * The job sheet as a browser lays it out: on a screen and on a phone. A copy of each sheet looks at itself: it carries
 * a script that measures and a policy that tells of everything a page might ask for or run.
 */

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { contrasts, look, type Seen } from './look.mjs';
import { makeReports, NAMES, PAGES } from './sheet-pages.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-browser-'));
afterAll(() => rmSync(folder, { recursive: true }));

let reports: Awaited<ReturnType<typeof makeReports>>;
beforeAll(async () => {
  reports = await makeReports();
});

/** Pixels of CSS, a 96th of an inch; the narrow one is a small phone. */
const WIDTHS = { screen: 1000, phone: 360 } as const;

/** What is less than this far from its ground cannot be read by many (WCAG 2.2, 1.4.3). */
const LEAST_CONTRAST = 4.5;

const BROWSER = 'chromium';

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
    BROWSER,
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
    const page = PAGES[name](reports);
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
    // pictures are as wide as the phone, so their scale is not told there
    const told = seen.screen.texts.filter(({ text }) => !text.startsWith('·'));
    expect(seen.phone.texts.map(({ text }) => text)).toEqual(told.map(({ text }) => text));
  });

  test.runIf(name === 'hostile')('keeps a hostile name as text', () => {
    expect(seen.screen.words).toContain('"><script>alert(1)</script>');
  });
});

// so that the checks above can fail
test('a sheet that asks, runs or fades is told', () => {
  const page = PAGES.bare(reports).replace(
    '<h1',
    '<p style="color: #999">faded</p><img alt="x" src="https://example.invalid/x.png"><b onclick="x()">run</b><h1',
  );
  const seen = seenAt(page, 'spoilt', WIDTHS.screen);
  expect(seen.faults.join()).toContain('img-src https://example.invalid');
  expect(seen.faults.join()).toContain('script-src');
  expect(seen.texts.find(({ text }) => text === 'faded')!.contrast).toBeLessThan(LEAST_CONTRAST);
});
