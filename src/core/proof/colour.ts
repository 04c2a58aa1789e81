import { EtchError } from '../errors.ts';
import { decodeSrgb } from '../srgb.ts';

/** Light of red, green and blue, each 0…1 of white; linear. */
export type Light = readonly [red: number, green: number, blue: number];

/** The sixteen basic colour words of CSS (HTML 4.01, 6.5; CSS Color 3, 4.1), with the second spelling of grey. */
const WORDS: Readonly<Record<string, string>> = {
  black: '000000',
  silver: 'c0c0c0',
  gray: '808080',
  grey: '808080',
  white: 'ffffff',
  maroon: '800000',
  red: 'ff0000',
  purple: '800080',
  fuchsia: 'ff00ff',
  green: '008000',
  lime: '00ff00',
  olive: '808000',
  yellow: 'ffff00',
  navy: '000080',
  blue: '0000ff',
  teal: '008080',
  aqua: '00ffff',
};

/**
 * A colour as six hexadecimal digits: `#rgb`, `#rrggbb` or one of the basic words, in sRGB. Anything else is an error of
 * kind 'usage', code `bad-colour`; `what` says whose colour it is, such as "ink".
 */
export function colourDigits(text: string, what: string): string {
  const word = text.trim().toLowerCase();
  const digits = word.startsWith('#') ? word.slice(1) : WORDS[word];
  if (digits === undefined || !/^([0-9a-f]{3}|[0-9a-f]{6})$/.test(digits)) {
    throw new EtchError(
      'usage',
      'bad-colour',
      `Reading the colour of the ${what}: "${text}" is no colour.`,
      `Give #rrggbb or #rgb, such as #1c2b4a, or one of ${Object.keys(WORDS).join(', ')}.`,
    );
  }
  return digits.length === 3 ? [...digits].map((digit) => digit + digit).join('') : digits;
}

/** A colour, read as by `colourDigits`, as light. */
export function parseColour(text: string, what: string): Light {
  const digits = colourDigits(text, what);
  const light = (at: number): number => decodeSrgb(Number.parseInt(digits.slice(at, at + 2), 16) / 255);
  return [light(0), light(2), light(4)];
}
