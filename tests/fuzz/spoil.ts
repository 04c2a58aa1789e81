import { evenNumbers } from '../run/pictures.ts';

/** Values that readers of binary files like to trust. */
const EXTREMES = [0, 1, 0x7f, 0x80, 0xff];

/** Texts that stand for numbers, names and marks that nobody expects. */
const WORDS = [
  '-1',
  '1e999',
  '9007199254740993',
  'null',
  '""',
  '{}',
  '[]',
  '__proto__',
  '\u0000',
  '\ud800',
  '../../x',
  '<b>',
  '"',
  ';',
  '\n',
  '0.0000001',
];

/** The same inputs in every run: what is spoiled, and how, hangs on the seed alone. */
export function openSpoiler(seed: number) {
  const next = evenNumbers(seed);
  const below = (most: number): number => Math.floor(next() * most);
  const pick = <T>(list: readonly T[]): T => list[below(list.length)]!;

  const bytes = (whole: Uint8Array): Uint8Array => {
    let out = Uint8Array.from(whole);
    for (let i = 1 + below(4); i > 0; i--) {
      const at = below(out.length);
      // headers decide most, so half of the harm is done there
      const place = next() < 0.5 ? below(Math.min(out.length, 128)) : at;
      const how = below(5);
      if (how === 0) out[place] = out[place]! ^ (1 << below(8));
      else if (how === 1) out[place] = pick(EXTREMES);
      else if (how === 2) out = out.slice(0, Math.max(1, at));
      else if (how === 3) out.fill(pick(EXTREMES), place, Math.min(out.length, place + 4));
      else out.copyWithin(place, below(out.length), Math.min(out.length, below(out.length) + 64));
    }
    return out;
  };

  const text = (whole: string): string => {
    let out = whole;
    for (let i = 1 + below(4); i > 0; i--) {
      const at = below(out.length + 1);
      const how = below(4);
      if (how === 0) out = out.slice(0, at) + out.slice(at + 1 + below(8));
      else if (how === 1) out = out.slice(0, at) + pick(WORDS) + out.slice(at);
      else if (how === 2) out = out.slice(0, at);
      else {
        // a value for another one, where the text has any
        const values = [...out.matchAll(/-?\d+(?:\.\d+)?|"[^"]*"|true|false|null/g)];
        const value = values.length > 0 ? pick(values) : null;
        if (value) out = out.slice(0, value.index) + pick(WORDS) + out.slice(value.index + value[0].length);
      }
    }
    return out;
  };

  return { bytes, text, pick };
}
