import { MM_PER_INCH } from '../../core/geometry.ts';
import { screens } from '../../core/screens/index.ts';
import { formsOf } from '../../job/measures.ts';
import { EXIT } from '../exit-codes.ts';
import { wrap } from '../render/run.ts';
import type { TopicName } from './names.ts';

/** What an exit code means to people. */
const EXIT_WORDS: Readonly<Record<keyof typeof EXIT, string>> = {
  done: 'done',
  usage: 'wrong words, flags or settings; nothing was read or written',
  input: 'a picture or plate could not be read',
  output: 'something could not be written; nothing half made was left',
  refused: 'refused, for a reason that was told; nothing was written',
  someFailed: 'several were asked for, and some failed',
  ourFault: 'a fault of the program: please report it',
  interrupted: 'stopped before the work was finished',
};

const table = (rows: readonly (readonly [string | number, string])[]): string => {
  const width = Math.max(...rows.map(([name]) => String(name).length)) + 2;
  return rows.map(([name, text]) => `  ${String(name).padEnd(width)}${wrap(text, width + 2)}`).join('\n');
};

interface Topic {
  readonly summary: string;
  /** Lines of 80 columns at most. */
  text(): string;
}

/** What can be read about besides the commands, each made from what the program itself goes by. */
export const topics: Readonly<Record<TopicName, Topic>> = {
  lengths: {
    summary: 'how lengths, percentages and numbers are written',
    text: () => `${table(
      [
        ['lengths', 'mm'],
        ['percentages', 'percent'],
        ['angles', 'degrees'],
        ['rulings', 'lpi'],
        ['resolutions', 'dpi'],
        ['minutes', 'minutes'],
      ].map(([what, unit]) => [what!, formsOf(unit!) ?? '']),
    )}

A decimal comma is read as a decimal point. Numbers have digits and one decimal
mark; no exponent, sign or thousands mark. One inch is ${MM_PER_INCH} mm. --dpi is of the
plate, ppi of a picture, lpi of a screen.`,
  },
  screens: {
    summary: 'how tone becomes marks, and which screen for what',
    text: () => `${table(Object.values(screens).map(({ kind, summary }) => [kind, summary]))}

Without --screen, process, picture and spot choose, and the report says why.
See \`etchwright prepare --help\` for the settings of each.`,
  },
  orientation: {
    summary: 'which way round a plate is, and why never to mirror it again',
    text: () => `A print shows its plate mirrored. The program works as the print will read, and
mirrors once, as the last step: files are plate-reading, and the machine's
program must not mirror them again. What is etched is the process's to decide:
of a relief block what does not print, of an intaglio plate what does. A
negative is told by --source negative, not by --etch.`,
  },
  files: {
    summary: 'what is written, and under which names',
    text: () => `${table([
      ['<name>.plate.png', 'the plate (.tif, .bmp, .pdf with --format)'],
      ['<name>.report.json', 'what was made, how, and what will not hold'],
      ['<name>.proof.png', 'the print as it should look (--proof)'],
      ['<name>.hold.png', 'what will not hold, and where (--holdmap)'],
      ['<name>.jobsheet.html', 'the sheet for the machine room (--jobsheet)'],
      ['<name>.curve.json', 'a measured curve (calibrate)'],
      ['etchwright.workshop.json', 'what the workshop knows of its machines'],
      ['etchwright.notebook.jsonl', 'what was done in this folder'],
    ])}

Files of one run appear together or not at all. Nothing that is there is
replaced without --overwrite, and no picture ever.`,
  },
  pipes: {
    summary: 'standard input and output, and scripts',
    text: () => `- as the picture reads standard input; --out - writes the one plate to standard
output. Results go to standard output, talk and progress to standard error.
--json gives one JSON value, --quiet silences all but errors, and NO_COLOR is
heeded.`,
  },
  'exit-codes': {
    summary: 'what the exit code says',
    text: () =>
      table((Object.keys(EXIT) as (keyof typeof EXIT)[]).map((name) => [EXIT[name], EXIT_WORDS[name]])),
  },
  safety: {
    summary: 'what comes before any plate',
    text: () => `The rules, training and risk assessment of the room come first; where they
differ from anything said here, they hold. Name the sheet with --material: some
are refused, unknown ones want the word of the workshop's staff. Stay with the
machine while it runs. Laser light, fume, dust, acid and presses can hurt; ask
trained staff where you are not sure.`,
  },
};
