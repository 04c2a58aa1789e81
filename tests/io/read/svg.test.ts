import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { decodePicture } from '../../../src/io/read/decode.ts';
import { inspectPicture } from '../../../src/io/read/inspect.ts';
import { drawnSize } from '../../../src/io/read/svg-drawn.ts';
import { cssPx } from '../../../src/io/read/svg-size.ts';
import { corpusPath, emptyFolder, greyOf, openAny, openCorpus } from './pictures.ts';

const folder = emptyFolder();
const file = join(folder, 'drawing.svg');

const svg = (root: string, inner: string, before = '') =>
  `${before}<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ${root}>${inner}</svg>`;

async function inspected(text: string | Uint8Array, maxPixels = 1e8) {
  writeFileSync(file, text);
  return inspectPicture({ path: file, name: 'drawing.svg' }, { maxPixels, scratchDir: folder });
}

const drawn = async (text: string | Uint8Array, drawingWidthPx: number) => {
  const picture = await decodePicture(await inspected(text), { drawingWidthPx });
  return { facts: picture.facts, grey: greyOf(picture) };
};

/** The box of ink of a drawing: first and last columns and rows darker than half. */
function inkBox({ grey }: Awaited<ReturnType<typeof drawn>>) {
  const box = { left: grey.widthPx, right: -1, top: grey.heightPx, bottom: -1 };
  for (let y = 0; y < grey.heightPx; y++) {
    for (let x = 0; x < grey.widthPx; x++) {
      if (grey.at(x, y) > 127) continue;
      box.left = Math.min(box.left, x);
      box.right = Math.max(box.right, x);
      box.top = Math.min(box.top, y);
      box.bottom = Math.max(box.bottom, y);
    }
  }
  return box;
}

describe('size', () => {
  // CSS Values and Units Level 4, 6.2: 1in = 2.54cm = 96px, 1pt = 1/72in, 1pc = 12pt, 1Q = 1/40cm.
  test.each([
    ['96px', 96],
    ['96', 96],
    ['1in', 96],
    ['2.54cm', 96],
    ['25.4mm', 96],
    ['101.6Q', 96],
    ['72pt', 96],
    ['6pc', 96],
    [' +1.5e1 px ', 15],
  ])('%s is %f CSS px', (length, px) => expect(cssPx(length)).toBeCloseTo(px, 9));

  test.each(['100%', '3em', '', '-4mm', '0', 'wide', undefined])('%s is no absolute length', (length) =>
    expect(cssPx(length)).toBeNull(),
  );

  test.each([
    ['width="100mm" height="50mm"', 100, 50],
    ['width="100mm" height="50mm" viewBox="0 0 7 3.5"', 100, 50],
    ['width="4in" viewBox="0 0 8 4"', 101.6, 50.8],
    ['height="50mm" viewBox="0 0 2 1"', 100, 50],
    ['width="96" height="48"', 25.4, 12.7],
    ['style="fill:red; width: 40mm; height:20mm" width="1mm" height="1mm"', 40, 20],
  ])('%s', async (root, widthMm, heightMm) => {
    const { facts } = await inspected(svg(root, ''));
    expect(facts.sizeMm?.widthMm).toBeCloseTo(widthMm, 9);
    expect(facts.sizeMm?.heightMm).toBeCloseTo(heightMm, 9);
    expect(facts).toMatchObject({ format: 'svg', drawing: true, cautions: [] });
  });

  test('a view box alone states proportions but no size', async () => {
    const { facts } = await inspected(svg('viewBox="0 0 30 20"', ''));
    expect(facts).toMatchObject({ widthPx: 30, heightPx: 20, ppiX: null, ppiY: null, sizeMm: null });
  });

  test('neither is refused', async () => {
    await expect(inspected(svg('', '<rect width="9" height="9"/>'))).rejects.toMatchObject({
      code: 'svg-without-size',
    });
  });

  test.each([
    ['in millimetres', 'width="100mm" height="50mm"', '<rect x="25mm" y="10mm" width="50mm" height="20mm"/>'],
    ['in px', 'width="100" height="50"', '<rect x="25" y="10" width="50" height="20"/>'],
    [
      'by a view box',
      'width="10cm" height="5cm" viewBox="0 0 20 10"',
      '<rect x="5" y="2" width="10" height="4"/>',
    ],
    ['by a view box alone', 'viewBox="0 0 200 100"', '<rect x="50" y="20" width="100" height="40"/>'],
    [
      'with its size in a style',
      'style="width:100mm;height:50mm"',
      '<rect x="25mm" y="10mm" width="50mm" height="20mm"/>',
    ],
  ])('a drawing measured %s is drawn true at any size', async (_, root, inner) => {
    for (const width of [200, 400, 1000]) {
      const picture = await drawn(svg(root, inner), width);
      expect([picture.grey.widthPx, picture.grey.heightPx]).toEqual([width, width / 2]);
      const px = width / 100;
      expect(inkBox(picture)).toEqual({
        left: 25 * px,
        right: 75 * px - 1,
        top: 10 * px,
        bottom: 30 * px - 1,
      });
    }
  });

  test('the resolution told is that of the pixels drawn', async () => {
    const { facts } = await drawn(svg('width="25.4mm" height="50.8mm"', ''), 600);
    expect(facts).toMatchObject({ widthPx: 600, heightPx: 1200, ppiX: 600, ppiY: 600 });
  });

  test('a black page has no sliver of paper at an edge, whatever the rounding', async () => {
    for (const width of [97, 333, 1001]) {
      const { grey } = await drawn(
        svg('width="70mm" height="30.3mm" viewBox="0 0 700 303"', '<rect width="700" height="303"/>'),
        width,
      );
      const corners = [
        grey.at(0, 0),
        grey.at(width - 1, 0),
        grey.at(0, grey.heightPx - 1),
        grey.at(width - 1, grey.heightPx - 1),
      ];
      expect(corners).toEqual([0, 0, 0, 0]);
    }
  });

  test('drawn sizes stay within the pixel limit and what can be drawn', () => {
    expect(drawnSize({ widthPx: 2, heightPx: 1 }, 90_000, 1e12)).toEqual({ widthPx: 32767, heightPx: 16384 });
    expect(drawnSize({ widthPx: 1, heightPx: 2 }, 90_000, 1e12)).toEqual({ widthPx: 16383, heightPx: 32766 });
    const { widthPx, heightPx } = drawnSize({ widthPx: 3, heightPx: 1 }, 5000, 1_000_000);
    expect(widthPx * heightPx).toBeLessThanOrEqual(1_001_000);
    expect(drawnSize({ widthPx: 1000, heightPx: 1 }, 10, 1e6)).toEqual({ widthPx: 10, heightPx: 1 });
  });
});

describe('C27 what depends on the outside', () => {
  test('text is cautioned', async () => {
    const { facts, close } = await openCorpus('odd/gen-text.svg');
    close();
    expect(facts.cautions.map(({ code }) => code)).toContain('svg-text');
  });

  test.each([
    ['odd/gen-external-href.svg', 'gen-flat-000.png'],
    ['odd/gen-file-href.svg', 'file:///etc/hostname'],
  ])('%s names its link and stays blank', async (name, link) => {
    const picture = await openCorpus(name);
    const caution = picture.facts.cautions.find(({ code }) => code === 'svg-link');
    expect(caution?.text).toContain(`"${link}"`);
    const grey = greyOf(picture);
    expect(grey.at(grey.widthPx >> 1, grey.heightPx >> 1)).toBe(255);
  });

  test('a picture beside the drawing is not read either', async () => {
    cpSync(corpusPath('good/gen-flat-000.png'), join(folder, 'gen-flat-000.png'));
    const picture = await drawn(readFileSync(corpusPath('odd/gen-external-href.svg')), 80);
    expect(picture.grey.at(40, 40)).toBe(255);
  });

  test('an embedded picture is drawn, without a caution', async () => {
    const data = readFileSync(corpusPath('good/gen-flat-000.png')).toString('base64');
    const inner = `<image width="10" height="10" xlink:href="data:image/png;base64,${data}"/>`;
    const picture = await drawn(svg('width="10" height="10"', inner), 20);
    expect(picture.grey.at(10, 10)).toBe(0);
    expect(picture.facts.cautions.map(({ code }) => code)).toEqual(['picture-flat']);
  });

  test('embedded pictures count for the pixel limit', async () => {
    const data = readFileSync(corpusPath('good/gen-flat-000.png')).toString('base64');
    const inner = `<image width="10" height="10" xlink:href="data:image/png;base64,${data}"/>`;
    await expect(inspected(svg('width="10" height="10"', inner), 4095)).rejects.toMatchObject({
      code: 'picture-too-large',
    });
    expect((await inspected(svg('width="10" height="10"', inner), 4096)).facts.widthPx).toBe(10);
  });

  test.each([
    ['<use href="other.svg#part"/>', 'other.svg#part'],
    ['<style>@import "style.css";</style>', 'style.css'],
    ['<rect fill="url(paint.svg#p)"/>', 'paint.svg#p'],
  ])('%s is cautioned', async (inner, link) => {
    const { facts } = await inspected(svg('width="10" height="10"', inner));
    expect(facts.cautions.find(({ code }) => code === 'svg-link')?.text).toContain(`"${link}"`);
  });

  test.each([
    '<a href="https://example.org"><rect width="1" height="1"/></a>',
    '<defs><rect id="r" width="1" height="1"/></defs><use href="#r"/><rect fill="url(#p)"/>',
    '<!-- <image href="x.png"/> <text>no</text> -->',
  ])('%s is not', async (inner) => {
    expect((await inspected(svg('width="10" height="10"', inner))).facts.cautions).toEqual([]);
  });

  test('entities that read files or grow without end are refused', async () => {
    for (const name of ['broken/gen-xxe.svg', 'broken/gen-billion-laughs.svg']) {
      await expect(openCorpus(name)).rejects.toMatchObject({ kind: 'input', code: 'picture-corrupt' });
    }
  });
});

describe('text', () => {
  const before = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<!-- <svg width="9"/> -->',
    '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [<!ENTITY c "black">]>',
  ].join('\n');
  const inner = '<rect x="2" width="4" height="4" fill="&c;"/>';

  test('declarations, comments and document types before the root are passed over', async () => {
    const picture = await drawn(svg('width="8" height="4"', inner, before), 16);
    expect(inkBox(picture)).toEqual({ left: 4, right: 11, top: 0, bottom: 7 });
  });

  test('UTF-16 and Latin-1 are read', async () => {
    const plain = svg('width="8" height="4"', '<title>é</title><rect x="2" width="4" height="4"/>');
    const utf16 = Buffer.from(`\ufeff<?xml version="1.0" encoding="UTF-16"?>${plain}`, 'utf16le');
    const latin = Buffer.from(`<?xml version="1.0" encoding="ISO-8859-1"?>${plain}`, 'latin1');
    for (const bytes of [utf16, latin]) {
      expect(inkBox(await drawn(bytes, 16))).toEqual({ left: 4, right: 11, top: 0, bottom: 7 });
    }
  });

  test('a cut drawing is refused', async () => {
    const whole = svg('width="8" height="4"', '<rect width="4" height="4"/>');
    for (const length of [20, 60, whole.length - 3]) {
      await expect(inspected(whole.slice(0, length))).rejects.toMatchObject({ kind: 'input' });
    }
  });

  test('a hostile text costs no more than its length', async () => {
    const started = performance.now();
    for (const text of ['<!--', 'url(', '<a x="', '<svg a', '<?xml-stylesheet '].map((part) =>
      part.repeat(300_000),
    )) {
      const inside = svg('width="8" height="4"', `<style><![CDATA[${text}]]></style>`);
      await inspected(inside).catch(() => undefined);
      await inspected(`<svg ${text}`).catch(() => undefined);
    }
    expect(performance.now() - started).toBeLessThan(8000);
  });

  test('the file is known without its name', async () => {
    const other = join(folder, 'drawing.png');
    writeFileSync(other, svg('width="8" height="4"', inner, before));
    const { facts, close } = await openAny(other);
    close();
    expect(facts.format).toBe('svg');
  });
});
