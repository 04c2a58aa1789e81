import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { corpusPath, greyOf, openAny, openCorpus } from './pictures.ts';
import { drawn, folder, inkBox, inspected, svg } from './svgs.ts';

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
    expect(performance.now() - started).toBeLessThan(40_000);
  });

  test('the file is known without its name', async () => {
    const other = join(folder, 'drawing.png');
    writeFileSync(other, svg('width="8" height="4"', inner, before));
    const { facts, close } = await openAny(other);
    close();
    expect(facts.format).toBe('svg');
  });
});
