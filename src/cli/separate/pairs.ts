import type { Command } from 'commander';
import type { Problem } from '../../core/errors.ts';
import { isPlateName } from '../../job/inks.ts';

/** A plate, and what is given for it. */
export type Pair = readonly [name: string, value: string];

/** `name=value` of an option that may come again. */
export function pairsOf(
  command: Command,
  attribute: string,
  flag: string,
): { pairs: Pair[]; problems: Problem[] } {
  const texts = (command.getOptionValue(attribute) as string[] | undefined) ?? [];
  const pairs: Pair[] = [];
  const problems: Problem[] = [];
  const add = (code: string, message: string): void =>
    void problems.push({
      code,
      message,
      hint: `Give the plate’s name and a file, such as ${flag} lamps=lamps.png; names have letters, digits, - and _.`,
    });
  for (const text of texts) {
    const [name = '', value = ''] = text.split(/=(.*)/s);
    if (!isPlateName(name) || value === '') add('bad-value', `${flag}: "${text}" is not understood`);
    else if (pairs.some(([known]) => known.toLowerCase() === name.toLowerCase()))
      add('plate-twice', `${flag}: the plate ${name} is named twice`);
    else pairs.push([name, value]);
  }
  return { pairs, problems };
}
