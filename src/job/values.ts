import type { Problem } from '../core/errors.ts';
import { formsOf, parseMeasure } from './measures.ts';
import { nearest, type Setting } from './settings.ts';

type Parsed = { readonly value: unknown } | { readonly problem: Problem };

const UNIT_WORDS: Readonly<Record<string, string>> = {
  mm: ' mm',
  percent: ' %',
  degrees: ' degrees',
  minutes: ' minutes',
  dpi: ' dpi',
  lpi: ' lpi',
  ppi: ' ppi',
};

/** What a setting takes, for messages: `50 to 10000 dpi`, `one of contain, cover, fill`. */
export function rangeWords(setting: Setting): string {
  const { choices } = setting;
  if (setting.type === 'choice-or-number')
    return `${choices.join(' or ')}, or ${rangeWords({ ...setting, type: 'number', choices: [] })}`;
  if (choices.length > 0) return `one of ${choices.join(', ')}`;
  if (setting.type === 'switch') return 'true or false (or yes, no, on, off)';
  if (setting.type === 'text') return 'a text';
  const whole = setting.type === 'integer' ? 'a whole number, ' : '';
  const unit = UNIT_WORDS[setting.unit ?? ''] ?? '';
  // zod bounds every int by the safe integers; nobody wants to read them
  const bound = (value: number | null): value is number =>
    value !== null && Math.abs(value) < Number.MAX_SAFE_INTEGER;
  if (bound(setting.minimum) && bound(setting.maximum))
    return `${whole}${setting.minimum} to ${setting.maximum}${unit}`;
  if (bound(setting.minimum)) return `${whole}${setting.minimum}${unit} or more`;
  return `${whole}a number`.replace('a whole number, a number', 'a whole number');
}

/** What a setting takes and how it may be written, for what was not understood at all. */
function acceptedWords(setting: Setting): string {
  const forms = formsOf(setting.unit);
  if (setting.unit === 'mm') return `a length such as ${forms}`;
  return forms === null ? rangeWords(setting) : `${rangeWords(setting)}; ${forms}`;
}

/** Spreadsheets save TRUE, and people write yes. */
const SWITCH_WORDS: ReadonlyMap<string, boolean> = new Map([
  ...['true', 'yes', 'on', '1'].map((word) => [word, true] as const),
  ...['false', 'no', 'off', '0'].map((word) => [word, false] as const),
]);

function fromText(setting: Setting, text: string): unknown {
  switch (setting.type) {
    case 'list':
      return text.split(',').map((item) => item.trim());
    case 'switch':
      return SWITCH_WORDS.get(text.trim().toLowerCase()) ?? null;
    case 'choice': {
      if (setting.choices.includes(text) && !/^\d+$/.test(text)) return text;
      // numbers may be choices too (a matrix of 8): give back the number
      const number = parseMeasure(setting.unit, text);
      return number !== null && setting.choices.includes(String(number)) ? number : null;
    }
    case 'choice-or-number':
      return setting.choices.includes(text) ? text : parseMeasure(setting.unit, text);
    case 'text':
      return text;
    default:
      return parseMeasure(setting.unit, text);
  }
}

/** What to give instead: the choice that was nearly hit, if there is one, and otherwise all there are. */
function remedy(setting: Setting, raw: unknown, wants: string): string {
  const told = `Give ${wants}.`;
  const items = typeof raw === 'string' ? raw.split(',').map((item) => item.trim()) : [];
  const wrong = items.find((item) => !setting.choices.includes(item));
  const words = setting.choices.filter((choice) => /^\D/.test(choice));
  const near = wrong === undefined ? null : nearest(wrong, words);
  if (near === null || wrong === undefined) return told;
  return near === wrong.toLowerCase() ? `Did you mean ${near}?` : `Did you mean ${near}? ${told}`;
}

/** A pattern says in its own words what it wants; of a text all that can be wrong besides is that there is none. */
function wantedWords(
  setting: Setting,
  issues: readonly { readonly code: string; readonly message: string }[],
): string {
  if (setting.type !== 'text') return rangeWords(setting);
  const pattern = issues.find(({ code }) => code === 'invalid_format');
  return pattern ? pattern.message : 'some text, or leave it out';
}

/** A setting's value from a job file (any JSON) or a flag (always text), checked; `label` names where it stood. */
export function parseValue(setting: Setting, raw: unknown, label: string): Parsed {
  const shown = typeof raw === 'string' ? `"${raw}"` : JSON.stringify(raw);
  const value = typeof raw === 'string' ? fromText(setting, raw) : raw;
  if (value === null || value === undefined || (typeof raw !== 'string' && setting.type === 'text'))
    return {
      problem: {
        code: 'bad-value',
        message: `${label}: ${shown} is not understood`,
        hint: remedy(setting, raw, acceptedWords(setting)),
      },
    };
  const checked = setting.schema.safeParse(value);
  if (checked.success) return { value: checked.data };
  return {
    problem: {
      code: 'bad-value',
      message: `${label}: ${shown} does not fit`,
      hint: remedy(setting, raw, wantedWords(setting, checked.error.issues)),
    },
  };
}
