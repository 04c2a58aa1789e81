import { BEARINGS, GLYPHS, type GlyphData, SPACE_UNITS, UNKNOWN } from './strokefont-glyphs.ts';

/** A point that the pen goes through, in millimetres, y down. */
export interface PenPoint {
  readonly xMm: number;
  readonly yMm: number;
}

/** One pen stroke: at least two points, joined by straight lines. */
export type Stroke = readonly PenPoint[];

/** Where a line of lettering stands: left end of its baseline, and the height of its capitals. */
export interface TextPlace {
  readonly heightMm: number;
  readonly xMm: number;
  readonly yMm: number;
}

interface Glyph {
  readonly advance: number;
  readonly strokes: readonly (readonly (readonly [x: number, y: number])[])[];
}

const CAP_UNITS = 6;
/** A chord over 10° leaves a circle by 0.4 % of its radius: below any pen. A divisor of 90 meets the outermost points. */
const ARC_STEP_DEG = 10;

/** Rounded, so that the last bit of a cosine never reaches a plate. */
const rounded = (units: number): number => Math.round(units * 1e4) / 1e4;

function arcPoints(numbers: readonly number[]): [number, number][] {
  const [cx, cy, rx, ry, fromDeg, toDeg] = numbers as [number, number, number, number, number, number];
  const step = toDeg > fromDeg ? ARC_STEP_DEG : -ARC_STEP_DEG;
  const angles = [fromDeg];
  for (let k = Math.floor(fromDeg / step) + 1; k * Math.abs(step) < toDeg * Math.sign(step); k++)
    angles.push(k * step);
  angles.push(toDeg);
  return angles.map((angleDeg) => {
    const angle = (angleDeg * Math.PI) / 180;
    return [rounded(cx + rx * Math.cos(angle)), rounded(cy + ry * Math.sin(angle))];
  });
}

function readStroke(path: string): [number, number][] {
  return path
    .trim()
    .split(' ')
    .flatMap((step) => {
      if (step.startsWith('@')) return arcPoints(step.slice(1).split(',').map(Number));
      const [x, y] = step.split(',').map(Number);
      return [[x!, y!] as [number, number]];
    })
    .filter(([x, y], i, all) => i === 0 || x !== all[i - 1]![0] || y !== all[i - 1]![1]);
}

function readGlyph([bearings, path]: GlyphData): Glyph {
  const [left, right] = BEARINGS[bearings]!;
  const strokes = path.split('|').map((stroke) => readStroke(stroke));
  const inkWidth = Math.max(...strokes.flat().map(([x]) => x));
  return {
    advance: rounded(left + inkWidth + right),
    strokes: strokes.map((points) => points.map(([x, y]) => [rounded(x + left), y] as const)),
  };
}

/** Read when they are asked for: all of them would take 11 ms of the start of every run. What the font lacks stands under ''. */
const read = new Map<string, Glyph>([[' ', { advance: SPACE_UNITS, strokes: [] }]]);

function glyphOf(letter: string): Glyph {
  const name = read.has(letter) || letter in GLYPHS ? letter : '';
  const glyph = read.get(name) ?? readGlyph(GLYPHS[name] ?? UNKNOWN);
  read.set(name, glyph);
  return glyph;
}

const glyphsOf = (text: string): Glyph[] => Array.from(text, (letter) => glyphOf(letter));

/** Width of a line of lettering, the air beside its letters included: widths of parts add up. */
export function textWidthMm(text: string, heightMm: number): number {
  let units = 0;
  for (const { advance } of glyphsOf(text)) units += advance;
  return (units * heightMm) / CAP_UNITS;
}

/**
 * A line of lettering as pen strokes, in the font this program draws itself.
 *
 * `heightMm` is the height of capitals; tails hang a third of it below the baseline (xMm, yMm).
 * A character the font lacks becomes an empty box. A pen of about an eighth of the height looks well.
 */
export function textStrokes(text: string, { heightMm, xMm, yMm }: TextPlace): readonly Stroke[] {
  const scale = heightMm / CAP_UNITS;
  const strokes: Stroke[] = [];
  let at = 0;
  for (const glyph of glyphsOf(text)) {
    for (const points of glyph.strokes) {
      strokes.push(points.map(([x, y]) => ({ xMm: xMm + (at + x) * scale, yMm: yMm - y * scale })));
    }
    at += glyph.advance;
  }
  return strokes;
}
