import { MM_PER_INCH } from '../core/geometry.ts';
import { parseMeasure } from './measures.ts';

/** A sheet of paper as it is bought: the shorter side first where it has a name, as typed where it has none. */
export interface PaperSize {
  readonly name: string | null;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** ISO 216:2007, trimmed sizes, in mm. */
const ISO_216 = {
  a0: [841, 1189],
  a1: [594, 841],
  a2: [420, 594],
  a3: [297, 420],
  a4: [210, 297],
  a5: [148, 210],
  a6: [105, 148],
  b0: [1000, 1414],
  b1: [707, 1000],
  b2: [500, 707],
  b3: [353, 500],
  b4: [250, 353],
  b5: [176, 250],
  b6: [125, 176],
} as const;

const inches = (width: number, height: number) => [width * MM_PER_INCH, height * MM_PER_INCH] as const;

/** Letter, legal and tabloid: ANSI/ASME Y14.1 and US office practice. Imperial sheets and their parts: paper makers’ lists, common practice. */
const IN_INCHES = {
  letter: inches(8.5, 11),
  legal: inches(8.5, 14),
  tabloid: inches(11, 17),
  imperial: inches(22, 30),
  'half-imperial': inches(15, 22),
  'quarter-imperial': inches(11, 15),
} as const;

/** Sheets that printmaking papers are sold in on the Continent; from memory. */
const CONTINENTAL = {
  raisin: [500, 650],
  jesus: [560, 760],
  'grand-aigle': [750, 1060],
} as const;

const NAMED: Readonly<Record<string, readonly [number, number]>> = {
  ...ISO_216,
  ...IN_INCHES,
  ...CONTINENTAL,
};

/** The names of sizes, for messages. */
export const paperNames: readonly string[] = Object.keys(NAMED);

/** Sheets larger than any press takes are slips of the pen. */
const MOST_MM = 5000;

/** `width × height`, a sign of x, × or *, a unit after either or both; the last unit goes for both. */
const SIZE = /^(\d+(?:[.,]\d+)?)\s*([a-zµ]*)\s*[x×*]\s*(\d+(?:[.,]\d+)?)\s*([a-zµ]*)$/u;

/** A size of paper by name, or as width and height. Null for what is neither. */
export function parsePaperSize(text: string): PaperSize | null {
  const asked = text.trim().toLowerCase();
  const name = asked.replace(/[\s_]+/g, '-');
  if (Object.hasOwn(NAMED, name)) {
    const [widthMm, heightMm] = NAMED[name]!;
    return { name, widthMm, heightMm };
  }
  const sides = SIZE.exec(asked);
  if (!sides) return null;
  const [, width = '', first = '', height = '', last = ''] = sides;
  const widthMm = parseMeasure('mm', `${width}${first || last}`);
  const heightMm = parseMeasure('mm', `${height}${last || first}`);
  if (!widthMm || !heightMm || widthMm > MOST_MM || heightMm > MOST_MM) return null;
  return { name: null, widthMm, heightMm };
}

/** A sheet laid as its plate lies: one known by name is turned so that its long side goes along the plate’s. */
export function laidPaper(
  { name, widthMm, heightMm }: PaperSize,
  plate: { readonly widthMm: number; readonly heightMm: number },
): { readonly widthMm: number; readonly heightMm: number } {
  const turns = name !== null && plate.widthMm > plate.heightMm;
  return turns ? { widthMm: heightMm, heightMm: widthMm } : { widthMm, heightMm };
}
