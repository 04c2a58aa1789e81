import { EtchError, type Problem } from '../core/errors.ts';
import { parseColour } from '../core/proof/colour.ts';
import type { SetInk } from '../core/separations/contract.ts';
import { encodeSrgb } from '../core/srgb.ts';

/** Names go into names of files. */
const NAME = /^[\p{L}\p{N}][\p{L}\p{N}_-]{0,39}$/u;

const OPACITY: Readonly<Record<string, boolean>> = { opaque: true, transparent: false };

const wrong = (text: string, why: string): Problem => ({
  code: 'bad-ink',
  message: `--inks: "${text}" ${why}`,
  hint: 'Give name=colour for each, such as lamps=#e0b030 or sound=navy:transparent, joined by commas in the order they are printed.',
});

const isProblem = (value: SetInk | Problem): value is Problem => 'message' in value;

/** True for what may name a plate, and so a part of a file's name. */
export const isPlateName = (name: string): boolean => NAME.test(name);

const hexOf = (light: SetInk['light']): string =>
  `#${light
    .map((part) =>
      Math.round(encodeSrgb(part) * 255)
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;

/** An ink by name and colour; opaque unless it says otherwise. */
export function inkOf(name: string, colour: string, opaque = true): SetInk {
  const light = parseColour(colour, `ink ${name}`);
  return { name, colour: hexOf(light), light, opaque };
}

function readInk(text: string): SetInk | Problem {
  const [name = '', rest = ''] = text.split(/=(.*)/s).map((part) => part.trim());
  const [colour = '', opacity = 'opaque'] = rest.split(':').map((part) => part.trim());
  if (!isPlateName(name)) return wrong(text, 'has no name of letters, digits, - and _ before its =');
  const opaque = OPACITY[opacity.toLowerCase()];
  if (opaque === undefined) return wrong(text, `is ${opacity}, which is neither opaque nor transparent`);
  try {
    return inkOf(name, colour, opaque);
  } catch (error) {
    if (!(error instanceof EtchError)) throw error;
    return { code: error.code, message: `--inks: ${error.message}`, hint: error.hint };
  }
}

/** Inks as they are typed, with all that is wrong with them. */
export function readInks(texts: readonly string[]): { inks: SetInk[]; problems: Problem[] } {
  const read = texts.map(readInk);
  const inks = read.filter((one): one is SetInk => !isProblem(one));
  const problems = read.filter(isProblem);
  const names = inks.map(({ name }) => name.toLowerCase());
  for (const [index, name] of names.entries())
    if (names.indexOf(name) < index) problems.push(wrong(inks[index]!.name, 'is named twice'));
  return { inks, problems };
}
