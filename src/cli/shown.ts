/** What terminals take for orders, and what turns the order of letters round (Unicode: Cc, line ends, UAX #9 controls). */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const ORDERS = /[\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/g;

const escaped = (sign: string): string =>
  sign === '\n' ? '\\n' : sign === '\t' ? '\\t' : `\\u{${sign.codePointAt(0)!.toString(16)}}`;

/** Words that may hold names and texts of others, as one line that does nothing to a terminal. */
export const oneLine = (text: string): string => text.replace(ORDERS, escaped);

/** As `oneLine`, in lines, with the colours and weights that we ourselves give. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: likewise
const OURS = /(\n|\u001b\[(?:1|2|22|31|32|33|39)m)/;
export const lines = (text: string): string =>
  text
    .split(OURS)
    .map((part, i) => (i % 2 === 1 ? part : oneLine(part)))
    .join('');

const MOST_CHARS = 1000;

/** A text of others at a length that can be read; of a longer one its beginning and its end. */
export const shortened = (text: string): string =>
  text.length <= MOST_CHARS ? text : `${text.slice(0, MOST_CHARS - 200)} … ${text.slice(-150)}`;
