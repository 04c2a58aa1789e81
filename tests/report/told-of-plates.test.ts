import { expect, test } from 'vitest';
import { toldOfPlates } from '../../src/report/set/told.ts';

const one = (code: string, severity: string, text: string) => ({ code, severity, text, cure: 'Mend it.' });
const asked = one('material-ask', 'stop', 'lino must be asked about first');
const thin = one('thin', 'warn', '3 lines are thin');
const plate = (name: string, ...cautions: object[]) => ({ name, report: { cautions } });
type Plates = Parameters<typeof toldOfPlates>[0];

const textsOf = (...plates: object[]): string[] =>
  toldOfPlates(plates as unknown as Plates, ['stop', 'warn']).map(({ text }) => text);

test('what is the same of several plates is said once, with their names; notes are not told', () => {
  expect(
    textsOf(
      plate('a', asked, one('n', 'note', 'by the way')),
      plate('b', asked, thin),
      plate('c', thin, asked, one('thin', 'warn', '4 lines are thin')),
    ),
  ).toEqual(['all plates: lino must be asked about first', 'b, c: 3 lines are thin', 'c: 4 lines are thin']);
  expect(textsOf(plate('a', asked))).toEqual(['a: lino must be asked about first']);
});
