import { describe, expect, test } from 'vitest';
import { outlinePaths } from '../../../src/core/outlines/paths.ts';
import { written } from '../../../src/io/outlines/drawing.ts';
import { writeOutlinePdf } from '../../../src/io/outlines/pdf.ts';
import { writeOutlineSvg } from '../../../src/io/outlines/svg.ts';
import { named, parseStrictly } from '../../report/jobsheet/strict.ts';

const { paths } = outlinePaths(
  'rounded',
  { outlineInsetMm: 1, outlineRadiusMm: 4 },
  { xMm: 0, yMm: 0, widthMm: 30, heightMm: 20 },
  { kerfMm: 0.2, toleranceMm: 0.1, traced: null },
);
const page = {
  widthMm: 32,
  heightMm: 22.5,
  colour: '1c2b4a',
  title: 'a <b> & "c" ]]> \u0000\u0007 é',
  lines: [
    { paths },
    {
      paths: [],
      strokes: [
        [
          { x: 1, y: 2 },
          { x: 3, y: 4 },
        ],
      ],
      dashMm: [3, 1.5] as const,
    },
  ],
};
const svg = new TextDecoder().decode(writeOutlineSvg(page));

describe('the SVG', () => {
  const tree = parseStrictly(svg.replace(/^<\?xml.*\n/, ''));

  test('is well-formed whatever the plate is called, and says its size in mm', () => {
    const [root] = named(tree, 'svg');
    expect(Object.fromEntries(root!.attributes)).toMatchObject({
      width: '32mm',
      height: '22.5mm',
      viewBox: '0 0 32 22.5',
    });
    expect(svg).toContain('<title>a &lt;b&gt; &amp; &quot;c&quot; ]]&gt;  é</title>');
  });

  test('has lines of 0.1 mm in the colour asked for, and fills nothing', () => {
    const [group] = named(tree, 'g');
    expect(Object.fromEntries(group!.attributes)).toMatchObject({
      fill: 'none',
      stroke: '#1c2b4a',
      'stroke-width': '0.1',
    });
    const drawn = named(tree, 'path').map(({ attributes }) => Object.fromEntries(attributes));
    expect(drawn.length).toBe(2);
    expect(drawn[0]!['d']).toMatch(/^M[\d. LC-]+Z$/);
    expect(drawn[1]).toEqual({ d: 'M1 2L3 4', 'stroke-dasharray': '3 1.5' });
  });
});

test('numbers go to a tenth of a micrometre, without an exponent', () => {
  expect([0, -0, 1e-9, -1e-9, 0.00005, 1.23456, -20, 100, 4999.99999].map(written)).toEqual([
    '0',
    '0',
    '0',
    '0',
    '0.0001',
    '1.2346',
    '-20',
    '100',
    '5000',
  ]);
});

test('the PDF is the same bytes every time, one page of the size, and names no font', async () => {
  const [first, second] = [
    Buffer.concat(await writeOutlinePdf(page)),
    Buffer.concat(await writeOutlinePdf(page)),
  ];
  expect(first.equals(second)).toBe(true);
  const text = first.toString('latin1');
  expect(text).toContain('/MediaBox [0 0 90.708661 63.779528]');
  expect(text).not.toMatch(/\/Font\b(?!\s*<<\s*>>)/);
});
