import type { Brief } from './contract.ts';
import { VERDICTS } from './entry.ts';
import { kindOf } from './kinds/index.ts';
import { lastSeen, type Page } from './pages.ts';

/** What is looked for; everything given must fit. */
export interface Wanted {
  readonly kind?: string | undefined;
  readonly process?: string | undefined;
  readonly material?: string | undefined;
  readonly screen?: string | undefined;
  readonly verdict?: string | undefined;
  /** Words that must stand somewhere on the page, and measures such as `45lpi`. */
  readonly words: readonly string[];
}

/** Numbers with a unit that may be asked for, and where an entry has such a number. */
const MEASURES: Readonly<Record<string, (brief: Brief) => readonly unknown[]>> = {
  lpi: ({ rulingLpi, settings }) => [rulingLpi, settings['rulingLpi']],
  dpi: ({ dpi }) => [dpi],
  mm: ({ widthMm, heightMm, settings }) => [
    widthMm,
    heightMm,
    ...Object.entries(settings).flatMap(([key, value]) => (key.endsWith('Mm') ? [value] : [])),
  ],
};

const MEASURE = new RegExp(`^(\\d+(?:[.,]\\d+)?)\\s*(${Object.keys(MEASURES).join('|')})$`, 'i');
/** Rulings as achieved are off by a per cent or two from those asked for. */
const NEAR = 0.03;

const lower = (text: string): string => text.toLocaleLowerCase('en');

/** All words of a page that people may remember. */
function wordsOf({ entry, notes }: Page, brief: Brief): string {
  const seen = notes.flatMap(({ seen: { pull: _, ...words } }) => Object.values(words));
  const { material } = entry;
  const sheet = material ? [material.id, material.kind, material.batch] : [];
  const own = [entry.name, brief.picture, entry.note, brief.process, brief.screen, ...brief.words];
  return lower([...own, ...sheet, entry.machine, brief.press, brief.curve, ...seen].join('\n'));
}

/** Words that people ask with and that say nothing of a plate. */
const ASKING = new Set(
  'what which how did does has have was were is are the at with on of for and'.split(' '),
);

const isVerdict = (word: string): boolean => (VERDICTS as readonly string[]).includes(word);

function fitsWord(page: Page, brief: Brief, words: string, wanted: string): boolean {
  const measure = MEASURE.exec(wanted);
  if (!measure) {
    const word = lower(wanted);
    // "nothing held" was noted of a plate that failed: where there is a verdict it answers, the last one
    const { verdict } = lastSeen(page);
    return isVerdict(word) && verdict !== undefined ? verdict === word : words.includes(word);
  }
  const value = Number(measure[1]!.replace(',', '.'));
  const found = MEASURES[lower(measure[2]!)]!(brief);
  return found.some((one) => typeof one === 'number' && Math.abs(one / value - 1) <= NEAR);
}

/** `45 lpi` typed as two words is one measure; commas, question marks and words like `what` are how people ask. */
export function askedWords(typed: readonly string[]): string[] {
  const words = typed.flatMap((word) => word.split(/\s+/)).map((word) => word.replace(/[,;:?!]+$/, ''));
  const joined: string[] = [];
  for (const word of words) {
    const before = joined.at(-1);
    const isUnit = before !== undefined && Object.hasOwn(MEASURES, lower(word)) && /^[\d.,]+$/.test(before);
    if (isUnit) joined[joined.length - 1] = before + word;
    else if (word !== '' && !ASKING.has(lower(word))) joined.push(word);
  }
  return joined;
}

/** True where a page is what was looked for. */
export function fits(page: Page, wanted: Wanted): boolean {
  const { entry } = page;
  const { kind, process, material, screen, verdict } = wanted;
  if (kind !== undefined && entry.kind !== kind) return false;
  const brief = kindOf(entry).brief(entry);
  if (process !== undefined && brief.process !== process) return false;
  if (screen !== undefined && brief.screen !== screen) return false;
  if (verdict !== undefined && lastSeen(page).verdict !== verdict) return false;
  if (material !== undefined) {
    const names = [entry.material?.id, entry.material?.kind].map((name) => lower(name ?? ''));
    if (!names.some((name) => name.includes(lower(material)))) return false;
  }
  const words = wordsOf(page, brief);
  return wanted.words.every((word) => fitsWord(page, brief, words, word));
}
