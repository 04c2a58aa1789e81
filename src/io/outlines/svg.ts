import type { Lines, OutlinePath, PointMm } from '../../core/outlines/contract.ts';
import { type OutlinePage, STROKE_MM, written, writtenPoint } from './drawing.ts';

const pathData = ({ start, segments }: OutlinePath): string =>
  `M${writtenPoint(start)}${segments
    .map(({ c1, c2, to }) =>
      c1 && c2 ? `C${writtenPoint(c1)} ${writtenPoint(c2)} ${writtenPoint(to)}` : `L${writtenPoint(to)}`,
    )
    .join('')}Z`;

const strokeData = ([first, ...rest]: readonly PointMm[]): string =>
  first ? `M${writtenPoint(first)}${rest.map((to) => `L${writtenPoint(to)}`).join('')}` : '';

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Control characters have no place in XML, not even escaped (XML 1.0, 2.2). */
const escaped = (text: string): string =>
  text.replace(/[^\P{C}\t\n]/gu, '').replace(/[&<>"']/g, (letter) => ENTITIES[letter]!);

const dashes = ({ dashMm }: Lines): string =>
  dashMm ? ` stroke-dasharray="${dashMm.map(written).join(' ')}"` : '';

const group = (lines: Lines): string => {
  const data = [...lines.paths.map(pathData), ...(lines.strokes ?? []).map(strokeData)];
  return data.map((d) => `<path d="${d}"${dashes(lines)}/>\n`).join('');
};

/** A page of outlines as SVG 1.1, its user units millimetres; only paths, so that nothing hangs on a font. */
export function writeOutlineSvg({ widthMm, heightMm, lines, colour, title }: OutlinePage): Uint8Array {
  const size = `width="${written(widthMm)}mm" height="${written(heightMm)}mm" viewBox="0 0 ${written(widthMm)} ${written(heightMm)}"`;
  return new TextEncoder().encode(
    `<?xml version="1.0" encoding="UTF-8"?>\n<svg xmlns="http://www.w3.org/2000/svg" version="1.1" ${size}>\n` +
      `<title>${escaped(title)}</title>\n` +
      `<g fill="none" stroke="#${colour}" stroke-width="${written(STROKE_MM)}" stroke-linejoin="round">\n${lines.map(group).join('')}</g>\n</svg>\n`,
  );
}
