const DIGIT_BESIDE_LETTER = /(?<=\p{L})(?=\p{N})|(?<=\p{N})(?=\p{L})/gu;

const singular = (word: string): string =>
  word.length > 3 && word.endsWith('s') && !word.endsWith('ss') ? word.slice(0, -1) : word;

/** The words of a name: no case, accents, hyphens or plural s, numbers apart from letters. */
export function wordsOf(text: string): string[] {
  return text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(DIGIT_BESIDE_LETTER, ' ')
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '')
    .map(singular);
}

/** Where a name stands among words: from the first to behind the last. */
export interface Place {
  readonly from: number;
  readonly to: number;
}

/** Longest name in words, with room for one written apart. */
const MOST_WORDS = 6;

/** Every place where the words, written together, are the name; "soft-lino" and "softlino" are "soft lino". */
export function findName(words: readonly string[], name: string): Place[] {
  const wanted = wordsOf(name).join('');
  const places: Place[] = [];
  for (let from = 0; from < words.length; from++) {
    for (let to = from + 1; to <= Math.min(words.length, from + MOST_WORDS); to++) {
      if (words.slice(from, to).join('') === wanted) places.push({ from, to });
    }
  }
  return places;
}
