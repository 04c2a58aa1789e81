import { expect, test } from 'vitest';
import { labelSheet } from '../../src/report/gang/labels.ts';
import { gangOf } from './gangs.ts';
import { type Element, elementsOf, named, parseStrictly, textOf } from './jobsheet/strict.ts';

const sheetsOf = (page: Element): Element[] =>
  named(page, 'svg').filter(({ attributes }) => attributes.get('class') === 'sheet');

const boxes = (svg: Element): number[][] =>
  named(svg, 'rect')
    .slice(1)
    .map(({ attributes }) => ['x', 'y', 'width', 'height'].map((key) => Number(attributes.get(key))));

test('from behind, what lies left lies right, what lies on top stays there; in millimetres of the sheet', () => {
  const page = parseStrictly(
    labelSheet(gangOf([[['anna', 10, 20, 100, 50]], [['ben', 200, 5, 60, 90, true]]]), 'class'),
  );
  const drawings = sheetsOf(page);
  // two overviews, two at their own size
  expect(drawings).toHaveLength(4);
  expect(drawings.map(({ attributes }) => attributes.get('viewBox'))).toEqual(Array(4).fill('0 0 300 200'));
  expect(drawings.map(({ attributes }) => attributes.get('style'))).toEqual([
    'width:186mm',
    'width:186mm',
    'width:300mm',
    'width:300mm',
  ]);
  expect(drawings.map(boxes)).toEqual([
    [[190, 20, 100, 50]],
    [[40, 5, 60, 90]],
    [[190, 20, 100, 50]],
    [[40, 5, 60, 90]],
  ]);
  const labels = named(page, 'div').filter(({ attributes }) => attributes.get('class') === 'label');
  expect(labels.map(textOf)).toEqual(['anna01-ababab · sheet 1', 'ben01-ababab · sheet 2']);
  // no larger than the plate they are stuck to: ben's is 90 × 60 mm in the hand
  expect(labels.map(({ attributes }) => attributes.get('style'))).toEqual([
    'width:90mm;height:34mm',
    'width:90mm;height:34mm',
  ]);
});

test('any name is told as it is, and makes no markup', () => {
  const name = '"><script>alert(1)</script>&amp; Zoë';
  const page = parseStrictly(labelSheet(gangOf([[[name, 10, 20, 100, 50]]]), name));
  expect(elementsOf(page).map((element) => element.name)).not.toContain('script');
  expect(textOf(named(page, 'title')[0]!)).toBe(`Labels of ${name}`);
  expect(sheetsOf(page).map((svg) => textOf(named(svg, 'text')[0]!))).toEqual([name, name]);
});

test('words under the line of 100 mm have room for their descenders above the labels', () => {
  const page = parseStrictly(labelSheet(gangOf([[['anna', 10, 20, 100, 50]]]), 'class'));
  const [line] = named(page, 'svg').filter(({ attributes }) => attributes.get('class') === 'measure');
  const [words] = named(line!, 'text');
  const [y, size] = ['y', 'font-size'].map((key) => Number(words!.attributes.get(key)));
  const heightMm = Number(line!.attributes.get('viewBox')!.split(' ')[3]);
  // descenders of book faces take a quarter of their size or less (from memory)
  expect(heightMm - y!).toBeGreaterThan(size! / 4 + 0.5);
  expect(line!.attributes.get('style')).toBe(`width:102mm;height:${heightMm}mm`);
});
