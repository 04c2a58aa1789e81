import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bidi, escapeHtml, html } from '../../../src/report/jobsheet/html.ts';
import { HOSTILE } from './sheets.ts';
import { parseStrictly, textOf } from './strict.ts';

/** Any text at all, halves of surrogate pairs included, rich in signs that mean something to a page. */
const anyText = fc
  .array(
    fc.oneof(fc.string({ unit: 'binary' }), fc.constantFrom('<', '>', '"', "'", '&', '</p>', '\ud800', '\0')),
  )
  .map((parts) => parts.join(''));

/** What must never arrive: written as the standards list it, not as the code does. */
const mayStand = (code: number): boolean =>
  code === 9 ||
  code === 10 ||
  (code >= 0x20 && code <= 0x7e) ||
  (code >= 0xa0 &&
    !(code >= 0xd800 && code <= 0xdfff) &&
    !(code >= 0xfdd0 && code <= 0xfdef) &&
    code < 0xfffe) ||
  code > 0xffff;
const turns = (code: number): boolean =>
  (code >= 0x202a && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069);

const expected = (text: string): string =>
  [...text]
    .map((sign) => (mayStand(sign.codePointAt(0)!) && !turns(sign.codePointAt(0)!) ? sign : '\ufffd'))
    .join('');

test('any text comes back from text and attribute as it went in, but for what no page may hold', () => {
  fc.assert(
    fc.property(anyText, (text) => {
      const page = parseStrictly(html`<p title="${text}">${text}</p>`.markup);
      const p = page.children[0]!;
      if (typeof p === 'string') throw new Error('no element');
      expect(p.name).toBe('p');
      expect(p.children.every((child) => typeof child === 'string')).toBe(true);
      expect(textOf(p)).toBe(expected(text));
      expect(p.attributes.get('title')).toBe(expected(text));
    }),
    { seed: 1, numRuns: 500 },
  );
});

test('escaped text holds no sign that opens or ends anything', () => {
  fc.assert(
    fc.property(anyText, (text) => {
      expect(escapeHtml(text)).not.toMatch(/[<>"']/);
    }),
    { seed: 2, numRuns: 500 },
  );
});

test('markup passes through once, lists are joined, null leaves nothing', () => {
  const inner = html`<b>${'a & b'}</b>`;
  expect(html`<p>${[inner, ' ', 'x<y', 3]}${null}</p>`.markup).toBe('<p><b>a &amp; b</b> x&lt;y3</p>');
  expect(bidi(HOSTILE).markup).toMatch(/^<bdi>[^<>"'\u202e]*<\/bdi>$/);
});
