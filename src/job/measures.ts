import { MM_PER_INCH } from '../core/geometry.ts';

/** How the numbers of one unit may be written. */
interface Unit {
  /** Told whenever a value is not understood; what stands for the range of the setting goes before it. */
  readonly forms: string;
  /** What one of each spelling is worth in the unit, spellings in small letters; a bare number is the unit itself. */
  readonly worth: Readonly<Record<string, number>>;
  /** Whether `4 3/4` is a number too. */
  readonly fractions?: true;
}

/** Anything counted along a line; the other way of the trade is by the centimetre. */
const perInch = (name: string): Unit => ({
  forms: `a bare number is ${name}; ${name}, /in, /cm or /mm may follow it`,
  worth: { [name]: 1, '/in': 1, '/cm': MM_PER_INCH / 10, '/mm': MM_PER_INCH },
});

const UNITS = {
  mm: {
    forms: '120mm, 12cm, 4.75in, 4 3/4in, 0.2mm, 150um; a bare number is millimetres',
    worth: { mm: 1, cm: 10, in: MM_PER_INCH, um: 0.001, µm: 0.001, μm: 0.001 },
    fractions: true,
  },
  percent: { forms: '% may follow the number', worth: { '%': 1 } },
  degrees: {
    forms: 'deg or ° may follow the number',
    worth: { deg: 1, degree: 1, degrees: 1, '°': 1, º: 1 },
  },
  minutes: {
    forms: 'a bare number is minutes; min or h may follow it',
    worth: { min: 1, minute: 1, minutes: 1, h: 60 },
  },
  dpi: perInch('dpi'),
  lpi: perInch('lpi'),
  ppi: perInch('ppi'),
} as const satisfies Record<string, Unit>;

type UnitName = keyof typeof UNITS;

const isUnit = (name: string): name is UnitName => Object.hasOwn(UNITS, name);

/** The forms of a unit, in words; null for a unit that may not be spelt out, or none. */
export const formsOf = (unit: string | null): string | null =>
  unit !== null && isUnit(unit) ? UNITS[unit].forms : null;

const NUMBER = /^\d+(?:[.,]\d+)?$/;
const MEASURE = /^(\d+(?:[.,]\d+)?)\s*([^\d\s]*)$/u;
const FRACTION = /^(?:(\d+)\s+)?(\d+)\/(\d+)\s*([^\d\s]*)$/u;

/**
 * A plain number: digits and one decimal mark, point or comma. No exponent, hex, sign or thousands mark.
 * Null for anything else.
 */
export function parseNumber(text: string): number | null {
  return NUMBER.test(text) ? Number(text.replace(',', '.')) : null;
}

/** A number with or without its unit spelt out, in that unit; a plain number where the unit has no spelling. Null for anything else. */
export function parseMeasure(unit: string | null, text: string): number | null {
  if (unit === null || !isUnit(unit)) return parseNumber(text);
  const { worth, fractions }: Unit = UNITS[unit];
  const one = (spelling: string): number =>
    spelling === '' ? 1 : Object.hasOwn(worth, spelling) ? worth[spelling]! : Number.NaN;
  const plain = MEASURE.exec(text);
  if (plain) return clean(parseNumber(plain[1]!)! * one(plain[2]!.toLowerCase()));
  const fraction = fractions ? FRACTION.exec(text) : null;
  if (!fraction) return null;
  const whole = Number(fraction[1] ?? 0) + Number(fraction[2]) / Number(fraction[3]);
  return clean(whole * one(fraction[4]!.toLowerCase()));
}

/** 4.75 in is 120.65 mm, not 120.64999…: a picometre is below every machine. Null for what is no number. */
const clean = (value: number): number | null =>
  Number.isFinite(value) ? Math.round(value * 1e9) / 1e9 : null;
