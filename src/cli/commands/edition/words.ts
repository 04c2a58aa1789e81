import { EtchError } from '../../../core/errors.ts';
import { NUMBERED, PROOFS, type Proof } from '../../../store/edition/entry.ts';

export const usage = (code: string, message: string, hint: string): EtchError =>
  new EtchError('usage', code, message, hint);

export function wholeNumber(text: string, what: string): number {
  if (/^\d{1,6}$/.test(text) && Number(text) > 0) return Number(text);
  throw usage(
    'not-a-count',
    `${what}: "${text}" is no number of sheets or impressions`,
    'Give a whole number from 1.',
  );
}

export function oneOf<Kind extends string>(text: string, kinds: readonly Kind[], what: string): Kind {
  const found = kinds.find((kind) => kind.toLowerCase() === text.toLowerCase());
  if (found) return found;
  throw usage('unknown-kind', `There is no ${what} "${text}"`, `Say one of: ${kinds.join(', ')}.`);
}

export function proofCalled(text: string): Proof {
  const mark = NUMBERED.find((one) => one.toLowerCase() === text.toLowerCase());
  if (mark === undefined) return oneOf<Proof>(text, PROOFS, 'proof');
  throw usage(
    'proof-with-number',
    `${mark} bear numbers`,
    `Enter them by these: \`edition number ${mark} 1\`.`,
  );
}

export async function numbersOf(text: string): Promise<number[]> {
  const { numbersIn } = await import('../../../run/records/edition.ts');
  const numbers = numbersIn(text);
  if (numbers) return numbers;
  throw usage('not-numbers', `"${text}" are no numbers`, 'Write them such as 1-12,15.');
}

export const spoken = (words: readonly string[]) => (words.length > 0 ? { words: words.join(' ') } : {});
