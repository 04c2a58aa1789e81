import { MM_PER_INCH } from '../core/geometry.ts';

/** The forms a length may have; told whenever one is not understood. */
export const LENGTH_FORMS = '120mm, 12cm, 4.75in, 4 3/4in, 0.2mm, 150um; a bare number is millimetres';

const MM_PER_UNIT: Readonly<Record<string, number>> = {
  '': 1,
  mm: 1,
  cm: 10,
  in: MM_PER_INCH,
  um: 0.001,
  µm: 0.001,
  μm: 0.001,
};

const DECIMAL = /^(\d+(?:[.,]\d+)?)\s*(mm|cm|in|um|µm|μm|)$/u;
const FRACTION = /^(?:(\d+)\s+)?(\d+)\/(\d+)\s*(mm|cm|in|um|µm|μm|)$/u;

/**
 * A plain number: digits and one decimal mark, point or comma. No exponent, hex, sign or thousands mark.
 * Null for anything else.
 */
export function parseNumber(text: string): number | null {
  return /^\d+(?:[.,]\d+)?$/.test(text) ? Number(text.replace(',', '.')) : null;
}

/** A percentage, `80` or `80%`, as the number before the sign; null for anything else. */
export const parsePercent = (text: string): number | null =>
  parseNumber(text.endsWith('%') ? text.slice(0, -1).trimEnd() : text);

/** A length in millimetres from any of the accepted forms; null for anything else. */
export function parseLengthMm(text: string): number | null {
  const decimal = DECIMAL.exec(text);
  if (decimal) return clean(Number(decimal[1]!.replace(',', '.')) * MM_PER_UNIT[decimal[2]!]!);
  const fraction = FRACTION.exec(text);
  if (!fraction || Number(fraction[3]) === 0) return null;
  const whole = Number(fraction[1] ?? 0) + Number(fraction[2]) / Number(fraction[3]);
  return clean(whole * MM_PER_UNIT[fraction[4]!]!);
}

/** 4.75 in is 120.65 mm, not 120.64999…: a picometre is below every machine. */
const clean = (mm: number): number => Math.round(mm * 1e9) / 1e9;
