import { EtchError } from '../core/errors.ts';

/** One of several shares of a list, from 1. */
export interface Part {
  readonly index: number;
  readonly of: number;
}

/** Reads `2/8`. Throws EtchError of kind 'usage' for anything else. */
export function parsePart(text: string): Part {
  const [, index, of] = /^(\d{1,6})\/(\d{1,6})$/.exec(text) ?? [];
  const part = { index: Number(index), of: Number(of) };
  if (part.index >= 1 && part.index <= part.of) return part;
  throw new EtchError(
    'usage',
    'bad-part',
    `--part: "${text}" is not understood`,
    'Give which part of how many, such as 2/8: the first is 1/8, the last 8/8.',
  );
}

/** Every `of`-th row: shares differ by one row at most, none is in two, and a row stays in its share whatever the others hold. */
export const partOf = <Row>(rows: readonly Row[], part: Part | null): Row[] =>
  part === null ? [...rows] : rows.filter((_, i) => i % part.of === part.index - 1);
