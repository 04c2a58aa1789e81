import { MM_PER_INCH } from '../../core/geometry.ts';
import type { Lines, OutlinePath, PointMm } from '../../core/outlines/contract.ts';
import { type OutlinePage, STROKE_MM, written, writtenPoint } from './drawing.ts';

/** One inch in default user space (ISO 32000-1, 8.3.2.3). */
const POINTS_PER_MM = 72 / MM_PER_INCH;
const toPoints = (mm: number): number => Math.round(mm * POINTS_PER_MM * 1e6) / 1e6;

/** Path construction (8.5.2): a closed line ends with `h`. */
const pathOperators = ({ start, segments }: OutlinePath): string =>
  [
    `${writtenPoint(start)} m`,
    ...segments.map(({ c1, c2, to }) =>
      c1 && c2 ? `${writtenPoint(c1)} ${writtenPoint(c2)} ${writtenPoint(to)} c` : `${writtenPoint(to)} l`,
    ),
    'h',
  ].join('\n');

const strokeOperators = (points: readonly PointMm[]): string =>
  points.map((to, i) => `${writtenPoint(to)} ${i === 0 ? 'm' : 'l'}`).join('\n');

const group = ({ paths, strokes = [], dashMm }: Lines): string =>
  [
    `[${dashMm ? dashMm.map(written).join(' ') : ''}] 0 d`,
    ...paths.map(pathOperators),
    ...strokes.map(strokeOperators),
    'S',
  ].join('\n');

/** DeviceRGB of six hexadecimal digits, 0…1. */
const rgb = (digits: string): string =>
  [0, 2, 4].map((at) => written(Number.parseInt(digits.slice(at, at + 2), 16) / 255)).join(' ');

/** A page of outlines as PDF 1.7, of exactly its size, with the same lines as the SVG. */
export async function writeOutlinePdf(page: OutlinePage): Promise<Uint8Array[]> {
  // here and not above: it takes a third of a second to load
  const { default: PdfDocument } = await import('pdfkit');
  const document = new PdfDocument({
    size: [toPoints(page.widthMm), toPoints(page.heightMm)],
    margin: 0,
    compress: false,
    pdfVersion: '1.7',
    font: '', // none: lettering is drawn as strokes
    // the file's ID is made from these, so they must not change from run to run
    info: {
      Title: page.title,
      Producer: 'etchwright',
      Creator: 'etchwright',
      CreationDate: new Date(0),
      ModDate: new Date(0),
    },
  });
  // pdfkit has turned the y axis down already; from here on in mm
  const scale = POINTS_PER_MM.toFixed(9);
  document.addContent(`q ${scale} 0 0 ${scale} 0 0 cm ${written(STROKE_MM)} w 1 j ${rgb(page.colour)} RG`);
  for (const lines of page.lines) document.addContent(group(lines));
  document.addContent('Q');
  document.end();
  const pieces: Uint8Array[] = [];
  for await (const piece of document) pieces.push(piece as Uint8Array);
  return pieces;
}
